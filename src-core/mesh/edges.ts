import type { TriangleMesh } from "./triangle-mesh";
import { vertexCount } from "./triangle-mesh";

/**
 * Half-edge h runs from corner h to the next corner of its triangle ⌊h/3⌋: triangle t has the half-edges 3t, 3t+1, 3t+2.
 */
export const nextHalfEdge = (h: number): number => (h % 3 === 2 ? h - 2 : h + 1);
export const previousHalfEdge = (h: number): number => (h % 3 === 0 ? h + 2 : h - 1);

/** The edges of a triangle list, by how many triangles meet there. */
export interface EdgePairs {
  /** For each half-edge the other one on the same edge, whichever way it runs; −1 at the border and where more than two
   * triangles meet; 3 × triangles. */
  readonly partner: Int32Array;
  /** Edges at which more than two triangles meet. */
  readonly nonManifoldEdges: number;
}

/**
 * Finds the two triangles at each edge, whichever way they are wound. Linear time for any input: the half-edges are
 * sorted by their two vertices in two counting sorts.
 * @param triangles three vertex numbers per triangle, below `vertices`
 */
export function pairEdges(triangles: Uint32Array, vertices: number): EdgePairs {
  const count = triangles.length;
  const low = (h: number): number => Math.min(triangles[h]!, triangles[nextHalfEdge(h)]!);
  const high = (h: number): number => Math.max(triangles[h]!, triangles[nextHalfEdge(h)]!);

  const starts = new Uint32Array(vertices + 1);
  const byHigh = new Uint32Array(count);
  for (let h = 0; h < count; h++) starts[high(h) + 1]!++;
  for (let v = 0; v < vertices; v++) starts[v + 1]! += starts[v]!;
  for (let h = 0; h < count; h++) byHigh[starts[high(h)]!++] = h;

  starts.fill(0);
  const byBoth = new Uint32Array(count);
  for (let h = 0; h < count; h++) starts[low(h) + 1]!++;
  for (let v = 0; v < vertices; v++) starts[v + 1]! += starts[v]!;
  for (let i = 0; i < count; i++) {
    const h = byHigh[i]!;
    byBoth[starts[low(h)]!++] = h;
  }

  const partner = new Int32Array(count).fill(-1);
  let nonManifoldEdges = 0;
  for (let i = 0; i < count; ) {
    const h = byBoth[i]!;
    const a = low(h);
    const b = high(h);
    let end = i + 1;
    while (end < count && low(byBoth[end]!) === a && high(byBoth[end]!) === b) end++;
    if (end - i === 2) {
      const other = byBoth[i + 1]!;
      partner[h] = other;
      partner[other] = h;
    } else if (end - i > 2) {
      nonManifoldEdges++;
    }
    i = end;
  }
  return { partner, nonManifoldEdges };
}

/**
 * For each half-edge the one that runs the other way on the same edge; −1 at the border, where more than two triangles
 * meet, and where two neighbours are wound against each other (in a surface of one side only); 3 × triangles.
 */
export function oppositeHalfEdges(mesh: TriangleMesh): Int32Array {
  return opposites(mesh.triangles, pairEdges(mesh.triangles, vertexCount(mesh)).partner);
}

/** Keeps of the partners only those that run the other way. */
export function opposites(triangles: Uint32Array, partner: Int32Array): Int32Array {
  const opposite = partner.slice();
  for (let h = 0; h < opposite.length; h++) {
    const other = opposite[h]!;
    if (other >= 0 && triangles[other] === triangles[h]) opposite[h] = -1;
  }
  return opposite;
}
