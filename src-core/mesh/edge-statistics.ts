import { quickselect } from "d3-array";
import { type JobControl, UNWATCHED } from "../job-control";
import { nextHalfEdge } from "./edges";
import { poll } from "./polling";
import type { TriangleMesh } from "./triangle-mesh";

/** Mean and median length of the edges, mm, each edge counted once; 0 where there is none. */
export function edgeLengths(
  mesh: TriangleMesh,
  opposite: Int32Array,
  job: JobControl = UNWATCHED,
): { mean: number; median: number } {
  const { positions: p, triangles } = mesh;
  let edges = 0;
  for (let h = 0; h < opposite.length; h++) if (!(opposite[h]! >= 0 && opposite[h]! < h)) edges++;
  const lengths = new Float64Array(edges);
  let count = 0;
  let sum = 0;
  for (let h = 0; h < opposite.length; h++) {
    poll(job, h);
    // Of a pair only the first is counted.
    const other = opposite[h]!;
    if (other >= 0 && other < h) continue;
    const from = 3 * triangles[h]!;
    const to = 3 * triangles[nextHalfEdge(h)]!;
    const x = p[to]! - p[from]!;
    const y = p[to + 1]! - p[from + 1]!;
    const z = p[to + 2]! - p[from + 2]!;
    const length = Math.sqrt(x * x + y * y + z * z);
    lengths[count++] = length;
    sum += length;
  }
  if (count === 0) return { mean: 0, median: 0 };
  const middle = (count - 1) >> 1;
  quickselect(lengths, middle);
  let median = lengths[middle]!;
  if (count % 2 === 0) {
    // The upper of the two middle lengths is the least of those behind the lower one.
    let above = Number.POSITIVE_INFINITY;
    for (let i = middle + 1; i < count; i++) above = Math.min(above, lengths[i]!);
    median = (median + above) / 2;
  }
  return { mean: sum / count, median };
}
