import type { JobControl } from "../job-control";
import { type DistinctVertices, renumber } from "../mesh/distinct-vertices";
import type { RawGeometry } from "../mesh/raw-geometry";
import { type Polygons, triangulatePolygons } from "../mesh/triangulate-polygons";
import { checkReferenced } from "./check-referenced";

/**
 * The surface of a file that lists vertices and faces apart, once both are read.
 * @param triangles numbers of vertices as they came; written over
 * @param polygons the faces with more than three corners
 * @param colours red, green, blue 0–255 per vertex as it came, or null
 * @throws RapheError `not-finite`, `malformed`, `cancelled`
 */
export function surfaceGeometry(
  name: string,
  vertices: DistinctVertices,
  triangles: Uint32Array,
  polygons: Polygons,
  colours: Uint8Array | null,
  job: JobControl,
): RawGeometry {
  const points = vertices.points();
  const pointNumbers = vertices.pointNumbers();
  checkReferenced(name, points, pointNumbers, triangles);
  renumber(triangles, pointNumbers, job);
  triangulatePolygons(points, triangles, polygons, job);
  return {
    vertices: points,
    triangles,
    colours: colours === null ? null : vertices.firstColours(colours),
    verticesInFile: vertices.count,
    verticesDistinct: true,
  };
}
