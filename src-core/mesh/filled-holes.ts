import type { BorderLoop } from "./border";
import { oppositeHalfEdges } from "./edges";
import { triangleCount, vertexCount } from "./triangle-mesh";

/** What a surface is measured by where its position does not matter: mm in any frame. */
export interface BareMesh {
  /** 3 × vertices. */
  readonly positions: Float64Array;
  /** 3 × triangles, counter-clockwise seen from outside. */
  readonly triangles: Uint32Array;
  /** Opposite half-edges, −1 at the border. */
  readonly opposite: Int32Array;
}

/**
 * A mesh whose small holes are closed by triangles from each border edge to the middle of the hole's rim.
 * @param loops its border loops; the longest, which is the scan's own rim, stays open
 * @param longest loops longer than this stay open, mm
 */
export function filledHoles(
  { positions, triangles, opposite }: BareMesh,
  loops: readonly BorderLoop[],
  longest: number,
): BareMesh {
  const small = loops.slice(1).filter(({ length }) => length <= longest);
  if (small.length === 0) return { positions, triangles, opposite };
  const edges = small.reduce((sum, { halfEdges }) => sum + halfEdges.length, 0);
  const filledPositions = new Float64Array(positions.length + 3 * small.length);
  filledPositions.set(positions);
  const filledTriangles = new Uint32Array(triangles.length + 3 * edges);
  filledTriangles.set(triangles);
  let vertex = positions.length / 3;
  let corner = triangles.length;
  for (const { halfEdges } of small) {
    for (const h of halfEdges) {
      const from = triangles[h]!;
      const to = triangles[h % 3 === 2 ? h - 2 : h + 1]!;
      for (let k = 0; k < 3; k++) filledPositions[3 * vertex + k]! += positions[3 * from + k]! / halfEdges.length;
      filledTriangles.set([to, from, vertex], corner);
      corner += 3;
    }
    vertex++;
  }
  const mesh = {
    positions: filledPositions,
    triangles: filledTriangles,
    fileTriangles: new Uint32Array(filledTriangles.length / 3),
  };
  if (vertexCount(mesh) !== vertex || 3 * triangleCount(mesh) !== corner) throw new RangeError("a loop was miscounted");
  return { positions: filledPositions, triangles: filledTriangles, opposite: oppositeHalfEdges(mesh) };
}
