import { type JobControl, UNWATCHED } from "../job-control";
import { nextHalfEdge } from "./edges";
import { poll } from "./polling";
import type { TriangleMesh } from "./triangle-mesh";

/** One closed walk along the border of a surface. */
export interface BorderLoop {
  /** Half-edges in order, each ending where the next begins; the surface lies to their left seen from outside. */
  readonly halfEdges: Uint32Array;
  /** Length, mm. */
  readonly length: number;
  /** Size of the loop's vector area, mm²: that of the opening if it is flat, 0 for a seam whose sides lie together. */
  readonly area: number;
}

/**
 * The border loops of a mesh, the longest first; loops of equal length in order of their first half-edge. Where the
 * border touches itself at a vertex, the loops are kept apart by turning about the vertex inside the surface.
 * @param opposite as `oppositeHalfEdges` gives it
 */
export function borderLoops(mesh: TriangleMesh, opposite: Int32Array, job: JobControl = UNWATCHED): BorderLoop[] {
  const { positions: p, triangles } = mesh;
  const visited = new Uint8Array(opposite.length);
  const loops: BorderLoop[] = [];
  for (let first = 0; first < opposite.length; first++) {
    poll(job, first);
    if (opposite[first]! >= 0 || visited[first] === 1) continue;
    const halfEdges: number[] = [];
    let length = 0;
    const origin = 3 * triangles[first]!;
    let ax = 0;
    let ay = 0;
    let az = 0;
    // The next border half-edge is a one-to-one relation, so the walk comes back to its start.
    let h = first;
    do {
      poll(job, halfEdges.length + 1);
      visited[h] = 1;
      halfEdges.push(h);
      const from = 3 * triangles[h]!;
      let next = nextHalfEdge(h);
      const to = 3 * triangles[next]!;
      const x = p[to]! - p[from]!;
      const y = p[to + 1]! - p[from + 1]!;
      const z = p[to + 2]! - p[from + 2]!;
      length += Math.sqrt(x * x + y * y + z * z);
      const rx = p[from]! - p[origin]!;
      const ry = p[from + 1]! - p[origin + 1]!;
      const rz = p[from + 2]! - p[origin + 2]!;
      ax += ry * z - rz * y;
      ay += rz * x - rx * z;
      az += rx * y - ry * x;
      while (opposite[next]! >= 0) next = nextHalfEdge(opposite[next]!);
      h = next;
    } while (h !== first);
    loops.push({ halfEdges: Uint32Array.from(halfEdges), length, area: Math.sqrt(ax * ax + ay * ay + az * az) / 2 });
  }
  // Sorting is stable, so equal lengths keep their order.
  return loops.sort((a, b) => b.length - a.length);
}
