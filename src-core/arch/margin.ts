import { exp } from "../geometry/real";
import { add, addScaled, cross, dot, scale, subtract, unit, type Vector3 } from "../geometry/vector";
import { closestPoint, newClosestPoint } from "../mesh/closest-point";
import { curvatures, fitHeight } from "../mesh/height-fit";
import { connectedPatch, vertexAt } from "../mesh/patch";
import type { Surface } from "../mesh/surface";

/** Radius of the surface looked at, and of the fit that gives a vertex its curvature, mm. */
const PATCH_RADIUS = 2.4;
const CURVATURE_RADIUS = 0.8;
/** Windows of the search along and across the margin, mm. */
const ALONG = 0.25;
const ACROSS = 0.45;
/** Half length of margin whose arch is fitted, and the step of following it, mm. */
const HALF_LENGTH = 1.4;
const STEP = 0.2;
/** Curvature (1/mm) below which a place is not hollow enough to be the margin. */
const HOLLOW = 0.15;

/** A vertex in the margin's own axes: t along it, a towards apical, n outwards; and how hollow the surface is there. */
interface MarginVertex {
  readonly t: number;
  readonly a: number;
  readonly n: number;
  readonly hollow: number;
}

/**
 * The most apical point of the gingival margin near a point. The margin is the crease between crown and gingiva: the
 * line where the surface is most hollow. It is followed to both sides, a parabola is laid through its height, and the
 * parabola's apex taken where it arches to apical; where it does not, the margin straight above or below the point.
 * @param start on the surface, mm
 * @param apical unit direction away from the opposite arch, file coordinates
 * @returns null where no hollow line is found
 */
export function marginNear(surface: Surface, start: Vector3, apical: Vector3): Vector3 | null {
  const found = newClosestPoint();
  closestPoint(surface.tree, start[0], start[1], start[2], found);
  const patch = connectedPatch(surface, found.triangle, start, PATCH_RADIUS);
  const outward = outwardOf(surface, patch, apical);
  if (outward === null) return null;
  const along = cross(apical, outward);
  const vertices: MarginVertex[] = [];
  for (const vertex of patch) {
    const d = subtract(vertexAt(surface, vertex), start);
    const hollow = hollowness(surface, vertex);
    if (hollow > HOLLOW) vertices.push({ t: dot(d, along), a: dot(d, apical), n: dot(d, outward), hollow });
  }
  const here = crossing(vertices, 0, 0);
  if (here === null) return null;
  const line: { t: number; a: number; n: number }[] = [here];
  for (const side of [1, -1]) {
    let a = here.a;
    for (let t = STEP; t <= HALF_LENGTH + 1e-9; t += STEP) {
      const next = crossing(vertices, side * t, a);
      if (next === null) break;
      line.push(next);
      a = next.a;
    }
  }
  const apex = apexOf(line);
  const at = crossing(vertices, apex, line.reduce((x, y) => (Math.abs(y.t - apex) < Math.abs(x.t - apex) ? y : x)).a);
  if (at === null) return null;
  const point = add(add(addScaled(start, along, at.t), scale(apical, at.a)), scale(outward, at.n));
  closestPoint(surface.tree, point[0], point[1], point[2], found);
  return [found.x, found.y, found.z];
}

/** Mean normal of a patch without its part along apical. */
function outwardOf(surface: Surface, patch: readonly number[], apical: Vector3): Vector3 | null {
  let sum: Vector3 = [0, 0, 0];
  for (const v of patch) {
    sum = add(sum, [surface.normals[3 * v]!, surface.normals[3 * v + 1]!, surface.normals[3 * v + 2]!]);
  }
  const flat = addScaled(sum, apical, -dot(sum, apical));
  return dot(flat, flat) < 1e-6 * patch.length ? null : unit(flat);
}

/** Largest curvature of the surface at a vertex, positive where it is hollow, 1/mm. */
function hollowness(surface: Surface, vertex: number): number {
  const centre = vertexAt(surface, vertex);
  const n = surface.normals;
  const normal: Vector3 = [n[3 * vertex]!, n[3 * vertex + 1]!, n[3 * vertex + 2]!];
  const seed = newClosestPoint();
  closestPoint(surface.tree, centre[0], centre[1], centre[2], seed);
  const near = connectedPatch(surface, seed.triangle, centre, CURVATURE_RADIUS);
  const fit = fitHeight(surface, near, centre, normal, CURVATURE_RADIUS, 2);
  return fit === null ? 0 : curvatures(fit)[0];
}

/** Where the margin crosses the line t = const: the hollowness-weighted middle, found by mean shift from height `a`. */
function crossing(vertices: readonly MarginVertex[], t: number, a: number): { t: number; a: number; n: number } | null {
  let height = a;
  let outward = 0;
  for (let turn = 0; turn < 20; turn++) {
    let sum = 0;
    let sumA = 0;
    let sumN = 0;
    for (const vertex of vertices) {
      const dt = (vertex.t - t) / ALONG;
      const da = (vertex.a - height) / ACROSS;
      const q = dt * dt + da * da;
      if (q > 12) continue;
      const weight = vertex.hollow * vertex.hollow * exp(-q / 2);
      sum += weight;
      sumA += weight * vertex.a;
      sumN += weight * vertex.n;
    }
    if (sum < 1e-3) return null;
    const next = sumA / sum;
    outward = sumN / sum;
    const step = Math.abs(next - height);
    height = next;
    if (step < 1e-3) break;
  }
  return { t, a: height, n: outward };
}

/** t of the apex of the parabola through the line, where it arches to apical within its ends; else 0. */
function apexOf(line: readonly { t: number; a: number }[]): number {
  if (line.length < 7) return 0;
  let s1 = 0;
  let s2 = 0;
  let s3 = 0;
  let s4 = 0;
  let a0 = 0;
  let a1 = 0;
  let a2 = 0;
  const s0 = line.length;
  for (const { t, a } of line) {
    s1 += t;
    s2 += t * t;
    s3 += t * t * t;
    s4 += t * t * t * t;
    a0 += a;
    a1 += a * t;
    a2 += a * t * t;
  }
  // Cramer's rule on the 3×3 normal equations of a = p + q·t + r·t².
  const d = s0 * (s2 * s4 - s3 * s3) - s1 * (s1 * s4 - s3 * s2) + s2 * (s1 * s3 - s2 * s2);
  const q = (s0 * (a1 * s4 - a2 * s3) - a0 * (s1 * s4 - s3 * s2) + s2 * (s1 * a2 - s2 * a1)) / d;
  const r = (s0 * (s2 * a2 - s3 * a1) - s1 * (s1 * a2 - s2 * a1) + a0 * (s1 * s3 - s2 * s2)) / d;
  if (!(r < -0.02)) return 0;
  return Math.min(HALF_LENGTH, Math.max(-HALF_LENGTH, -q / (2 * r)));
}
