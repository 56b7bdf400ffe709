import { checkCancelled, type JobControl } from "../job-control";

/** Pairs of numbers, one pair per polygon: its first triangle, and its corners (more than three). */
export type Polygons = Uint32Array;

/** Polygons with more corners than this stay fans: cutting ears takes the square of the corners. */
const MOST_CORNERS = 256;

/**
 * Cuts polygons into triangles that stay inside them. Each comes as a fan about its first corner and stays one where it
 * is convex; else its ears are cut off one by one (G. H. Meisters 1975), seen along the polygon's mean normal
 * (M. E. Newell, in Sutherland et al. 1974).
 * @param vertices x, y, z per vertex
 * @param triangles changed in place; polygon p with n corners owns the n − 2 triangles from its first
 */
export function triangulatePolygons(
  vertices: Float32Array | Float64Array,
  triangles: Uint32Array,
  polygons: Polygons,
  job: JobControl,
): void {
  for (let p = 0; p < polygons.length; p += 2) {
    if (p % 512 === 0) checkCancelled(job);
    const first = 3 * polygons[p]!;
    const corners = polygons[p + 1]!;
    if (corners > MOST_CORNERS) continue;
    const ring = new Uint32Array(corners);
    ring[0] = triangles[first]!;
    ring[1] = triangles[first + 1]!;
    for (let i = 2; i < corners; i++) ring[i] = triangles[first + 3 * (i - 2) + 2]!;
    const flat = projected(vertices, ring);
    if (isConvex(flat)) continue;
    cutEars(ring, flat, triangles.subarray(first, first + 3 * (corners - 2)));
  }
}

/** The ring's corners in its mean plane, u, v per corner; counter-clockwise on the whole. */
function projected(vertices: Float32Array | Float64Array, ring: Uint32Array): Float64Array {
  let nx = 0;
  let ny = 0;
  let nz = 0;
  for (let i = 0; i < ring.length; i++) {
    const a = 3 * ring[i]!;
    const b = 3 * ring[(i + 1) % ring.length]!;
    nx += (vertices[a + 1]! - vertices[b + 1]!) * (vertices[a + 2]! + vertices[b + 2]!);
    ny += (vertices[a + 2]! - vertices[b + 2]!) * (vertices[a]! + vertices[b]!);
    nz += (vertices[a]! - vertices[b]!) * (vertices[a + 1]! + vertices[b + 1]!);
  }
  // Seen along the axis nearest to the normal: no corner changes its order, and no rounding comes in.
  const ax = Math.abs(nx);
  const ay = Math.abs(ny);
  const az = Math.abs(nz);
  const drop = ax >= ay && ax >= az ? 0 : ay >= az ? 1 : 2;
  const forward = [nx, ny, nz][drop]! >= 0;
  const u = (drop + (forward ? 1 : 2)) % 3;
  const v = (drop + (forward ? 2 : 1)) % 3;
  const flat = new Float64Array(2 * ring.length);
  for (let i = 0; i < ring.length; i++) {
    flat[2 * i] = vertices[3 * ring[i]! + u]!;
    flat[2 * i + 1] = vertices[3 * ring[i]! + v]!;
  }
  return flat;
}

/** Twice the signed area of the triangle of corners i, j, k; positive counter-clockwise. */
const turn = (flat: Float64Array, i: number, j: number, k: number): number =>
  (flat[2 * j]! - flat[2 * i]!) * (flat[2 * k + 1]! - flat[2 * i + 1]!) -
  (flat[2 * j + 1]! - flat[2 * i + 1]!) * (flat[2 * k]! - flat[2 * i]!);

function isConvex(flat: Float64Array): boolean {
  const count = flat.length / 2;
  for (let i = 0; i < count; i++) if (turn(flat, i, (i + 1) % count, (i + 2) % count) < 0) return false;
  return true;
}

function cutEars(ring: Uint32Array, flat: Float64Array, out: Uint32Array): void {
  const left = Array.from(ring, (_, i) => i);
  let written = 0;
  while (left.length > 3) {
    const ear = findEar(left, flat);
    const before = left[(ear + left.length - 1) % left.length]!;
    const after = left[(ear + 1) % left.length]!;
    out.set([ring[before]!, ring[left[ear]!]!, ring[after]!], written);
    written += 3;
    left.splice(ear, 1);
  }
  out.set([ring[left[0]!]!, ring[left[1]!]!, ring[left[2]!]!], written);
}

/** Place in `left` of the next ear; where a crossed polygon has none, of its most convex corner. */
function findEar(left: readonly number[], flat: Float64Array): number {
  let best = 0;
  let bestTurn = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < left.length; i++) {
    const a = left[(i + left.length - 1) % left.length]!;
    const b = left[i]!;
    const c = left[(i + 1) % left.length]!;
    const bend = turn(flat, a, b, c);
    if (bend > bestTurn) {
      bestTurn = bend;
      best = i;
    }
    if (bend > 0 && left.every((p) => p === a || p === b || p === c || !inside(flat, p, a, b, c))) return i;
  }
  return best;
}

/** True where corner p lies in the counter-clockwise triangle a, b, c or on its rim. */
const inside = (flat: Float64Array, p: number, a: number, b: number, c: number): boolean =>
  turn(flat, a, b, p) >= 0 && turn(flat, b, c, p) >= 0 && turn(flat, c, a, p) >= 0;
