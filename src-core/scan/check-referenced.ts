import { grouped } from "../grouped";
import { MAX_COORDINATE } from "./limits";
import { scanError } from "./scan-errors";

/**
 * Checks the coordinates of all vertices that triangles use; others never reach a mesh.
 * @param points x, y, z of each point
 * @param pointNumbers for each vertex as it came the number of its point
 * @param triangles numbers of vertices as they came
 * @throws RapheError `not-finite`, `malformed`
 */
export function checkReferenced(
  name: string,
  points: Float32Array | Float64Array,
  pointNumbers: Uint32Array,
  triangles: Uint32Array,
): void {
  let sound = true;
  // Written so that not-a-number fails.
  for (let i = 0; i < points.length; i++) if (!(Math.abs(points[i]!) < MAX_COORDINATE)) sound = false;
  if (sound) return;
  for (let i = 0; i < triangles.length; i++) {
    const vertex = triangles[i]!;
    const point = 3 * pointNumbers[vertex]!;
    const at = Array.from(points.subarray(point, point + 3));
    if (at.every((value) => Math.abs(value) < MAX_COORDINATE)) continue;
    const where = `vertex ${grouped(vertex)}, counted from 0`;
    throw at.every(Number.isFinite)
      ? scanError("malformed", name, `a coordinate (${at.join(", ")}) that no scan can have`, where)
      : scanError("not-finite", name, `a coordinate that is not a number (${at.join(", ")})`, where);
  }
}
