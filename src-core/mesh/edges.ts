import { atan2 } from "../geometry/real";
import { checkCancelled, type JobControl, UNWATCHED } from "../job-control";
import { poll } from "./polling";
import { type TriangleMesh, vertexCount } from "./triangle-mesh";

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
  /** The half-edges of edges at which more than two triangles meet, edge by edge. */
  readonly crowded: Uint32Array;
  /** Where in `crowded` each of these edges ends. */
  readonly crowdedEnds: readonly number[];
}

/**
 * Finds the two triangles at each edge, whichever way they are wound: the half-edges are sorted by their lower vertex in
 * a counting sort, and those of each vertex by the higher one.
 * @param triangles three vertex numbers per triangle, below `vertices`
 */
export function pairEdges(triangles: Uint32Array, vertices: number, job: JobControl = UNWATCHED): EdgePairs {
  const count = triangles.length;
  const ends = new Uint32Array(vertices + 1);
  for (let t = 0; t < count; t += 3) {
    poll(job, t);
    const a = triangles[t]!;
    const b = triangles[t + 1]!;
    const c = triangles[t + 2]!;
    ends[Math.min(a, b) + 1]!++;
    ends[Math.min(b, c) + 1]!++;
    ends[Math.min(c, a) + 1]!++;
  }
  for (let v = 0; v < vertices; v++) ends[v + 1]! += ends[v]!;
  // While the half-edges are dealt out, the start of each vertex moves on to its end.
  const sorted = new Uint32Array(count);
  for (let t = 0; t < count; t += 3) {
    poll(job, t);
    const a = triangles[t]!;
    const b = triangles[t + 1]!;
    const c = triangles[t + 2]!;
    sorted[ends[Math.min(a, b)]!++] = t;
    sorted[ends[Math.min(b, c)]!++] = t + 1;
    sorted[ends[Math.min(c, a)]!++] = t + 2;
  }

  const partner = new Int32Array(count).fill(-1);
  const crowdedEnds: number[] = [];
  let crowded = 0;
  for (let v = 0, start = 0, edge = 0; v < vertices; v++) {
    const end = ends[v]!;
    sortByHigherVertex(sorted.subarray(start, end), triangles, job);
    for (let i = start; i < end; edge++) {
      poll(job, edge);
      const h = sorted[i]!;
      const high = higherVertex(triangles, h);
      let next = i + 1;
      while (next < end && higherVertex(triangles, sorted[next]!) === high) next++;
      if (next - i === 2) {
        const other = sorted[i + 1]!;
        partner[h] = other;
        partner[other] = h;
      } else if (next - i > 2) {
        sorted.copyWithin(crowded, i, next);
        crowded += next - i;
        crowdedEnds.push(crowded);
      }
      i = next;
    }
    start = end;
  }
  return { partner, crowded: sorted.slice(0, crowded), crowdedEnds };
}

function higherVertex(triangles: Uint32Array, h: number): number {
  return Math.max(triangles[h]!, triangles[nextHalfEdge(h)]!);
}

/** Up to this many half-edges at a vertex are sorted by insertion, more by their bits. */
const FEW = 256;
/** Two digits of this many bits hold the number of every vertex, of which there are fewer than 2²⁶. */
const DIGIT_BITS = 13;
const DIGIT = 8191;

/** Sorts half-edges by their higher vertex; equal ones keep their order. Linear time for any input. */
function sortByHigherVertex(halfEdges: Uint32Array, triangles: Uint32Array, job: JobControl): void {
  const count = halfEdges.length;
  if (count <= FEW) {
    for (let i = 1; i < count; i++) {
      const h = halfEdges[i]!;
      const high = higherVertex(triangles, h);
      let to = i;
      while (to > 0 && higherVertex(triangles, halfEdges[to - 1]!) > high) {
        halfEdges[to] = halfEdges[to - 1]!;
        to--;
      }
      halfEdges[to] = h;
    }
    return;
  }
  // A counting sort by the lower digit, then by the upper one.
  let from = halfEdges.slice();
  let into = new Uint32Array(count);
  for (const shift of [0, DIGIT_BITS]) {
    const starts = new Uint32Array(DIGIT + 2);
    for (let i = 0; i < count; i++) {
      poll(job, i);
      starts[((higherVertex(triangles, from[i]!) >>> shift) & DIGIT) + 1]!++;
    }
    for (let digit = 0; digit <= DIGIT; digit++) starts[digit + 1]! += starts[digit]!;
    for (let i = 0; i < count; i++) {
      poll(job, i);
      const h = from[i]!;
      into[starts[(higherVertex(triangles, h) >>> shift) & DIGIT]!++] = h;
    }
    [from, into] = [into, from];
  }
  halfEdges.set(from);
}

/**
 * For each half-edge the one that runs the other way on the same edge; 3 × triangles. −1 at the border, and where two
 * neighbours are wound against each other (in a surface of one side only). Where two or more sheets touch along an edge,
 * each is followed on its own side; −1 where they cannot be told apart.
 */
export function oppositeHalfEdges(mesh: TriangleMesh, job: JobControl = UNWATCHED): Int32Array {
  const { triangles } = mesh;
  const { partner: opposite, crowded, crowdedEnds } = pairEdges(triangles, vertexCount(mesh), job);
  for (let h = 0; h < opposite.length; h++) {
    const other = opposite[h]!;
    if (other >= 0 && triangles[other] === triangles[h]) opposite[h] = -1;
  }
  let start = 0;
  for (const end of crowdedEnds) {
    checkCancelled(job);
    pairTouchingSheets(mesh, crowded.subarray(start, end), opposite);
    start = end;
  }
  return opposite;
}

/** More triangles than this at one edge are no touching sheets but a broken file. */
const MOST_TOUCHING = 32;

/**
 * Pairs the half-edges of one edge at which several sheets touch: going round the edge, the inner side of each triangle
 * faces the inner side of the one that it belongs to. Pairs nothing where inner and outer sides do not take turns.
 */
function pairTouchingSheets(mesh: TriangleMesh, halfEdges: Uint32Array, opposite: Int32Array): void {
  if (halfEdges.length > MOST_TOUCHING) return;
  const { positions: p, triangles } = mesh;
  const from = triangles[halfEdges[0]!]!;
  const to = triangles[nextHalfEdge(halfEdges[0]!)]!;
  const [dx, dy, dz] = [0, 1, 2].map((i) => p[3 * to + i]! - p[3 * from + i]!) as [number, number, number];
  // Two directions across the edge; the first leads to the first triangle's third corner.
  const across = (h: number): [number, number, number] => {
    const apex = 3 * triangles[previousHalfEdge(h)]!;
    const [x, y, z] = [0, 1, 2].map((i) => p[apex + i]! - p[3 * from + i]!) as [number, number, number];
    const along = (x * dx + y * dy + z * dz) / (dx * dx + dy * dy + dz * dz);
    return [x - along * dx, y - along * dy, z - along * dz];
  };
  const u = across(halfEdges[0]!);
  const length = Math.sqrt(dx * dx + dy * dy + dz * dz);
  const v = [
    (dy * u[2] - dz * u[1]) / length,
    (dz * u[0] - dx * u[2]) / length,
    (dx * u[1] - dy * u[0]) / length,
  ] as const;
  const around = Array.from(halfEdges, (h) => {
    const w = across(h);
    const angle = atan2(w[0] * v[0] + w[1] * v[1] + w[2] * v[2], w[0] * u[0] + w[1] * u[1] + w[2] * u[2]);
    return { h, angle, forward: triangles[h] === from };
  }).sort((a, b) => a.angle - b.angle || a.h - b.h);
  const takeTurns = around.every(({ forward }, i) => forward !== around[(i + 1) % around.length]!.forward);
  if (!takeTurns) return;
  // Counter-clockwise behind a forward half-edge lies the outside, behind a backward one the inside.
  around.forEach(({ h, forward }, i) => {
    if (forward) return;
    const partner = around[(i + 1) % around.length]!.h;
    opposite[h] = partner;
    opposite[partner] = h;
  });
}
