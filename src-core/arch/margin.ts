import { CholeskyDecomposition, Matrix } from "ml-matrix";
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
 * The most apical point of the gingival margin near a point. The margin is the crease between crown and gingiva. The
 * line where the surface is most hollow is followed to both sides, a parabola is laid through its height, and the
 * parabola's apex taken where it arches to apical; where it does not, the place straight above or below the point. There
 * the crease itself is where the crown's flank turns into the gingiva's (`creaseAcross`).
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
  const all: MarginVertex[] = patch.map((vertex) => {
    const d = subtract(vertexAt(surface, vertex), start);
    return { t: dot(d, along), a: dot(d, apical), n: dot(d, outward), hollow: hollowness(surface, vertex) };
  });
  const hollow = all.filter((vertex) => vertex.hollow > HOLLOW);
  const here = crossing(hollow, 0, 0);
  if (here === null) return null;
  const line: { t: number; a: number }[] = [here];
  for (const side of [1, -1]) {
    let a = here.a;
    for (let t = STEP; t <= HALF_LENGTH + 1e-9; t += STEP) {
      const next = crossing(hollow, side * t, a);
      if (next === null) break;
      line.push(next);
      a = next.a;
    }
  }
  const arch = archOf(line);
  const at = creaseAcross(all, arch);
  if (at === null) return null;
  const point = add(add(addScaled(start, along, arch.apex), scale(apical, at.a)), scale(outward, at.n));
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

// Margins are looked for again and again in the same places: with another frame, after each landmark, on the next date.
const hollowKnown = new WeakMap<Surface, Map<number, number>>();

/** Largest curvature of the surface at a vertex, positive where it is hollow, 1/mm; computed once per surface. */
function hollowness(surface: Surface, vertex: number): number {
  let known = hollowKnown.get(surface);
  if (known === undefined) {
    known = new Map();
    hollowKnown.set(surface, known);
  }
  const value = known.get(vertex) ?? curvatureAt(surface, vertex);
  known.set(vertex, value);
  return value;
}

function curvatureAt(surface: Surface, vertex: number): number {
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
function crossing(vertices: readonly MarginVertex[], t: number, a: number): { t: number; a: number } | null {
  let height = a;
  for (let turn = 0; turn < 20; turn++) {
    let sum = 0;
    let sumA = 0;
    for (const vertex of vertices) {
      const dt = (vertex.t - t) / ALONG;
      const da = (vertex.a - height) / ACROSS;
      const q = dt * dt + da * da;
      if (q > 12) continue;
      const weight = vertex.hollow * vertex.hollow * exp(-q / 2);
      sum += weight;
      sumA += weight * vertex.a;
    }
    if (sum < 1e-3) return null;
    const next = sumA / sum;
    const step = Math.abs(next - height);
    height = next;
    if (step < 1e-3) break;
  }
  return { t, a: height };
}

/** The parabola a = p + q·t + r·t² through the followed line, and the t at which the margin is read. */
interface MarginArch {
  readonly p: number;
  readonly q: number;
  readonly r: number;
  readonly apex: number;
}

/** The arch of the followed line; its apex where it arches to apical within its ends, else 0. */
function archOf(line: readonly { t: number; a: number }[]): MarginArch {
  const straight = { p: line[0]!.a, q: 0, r: 0, apex: 0 };
  if (line.length < 7) return straight;
  const fit = leastSquares(line.map(({ t, a }) => ({ terms: [1, t, t * t], value: a, weight: 1 })));
  if (fit === null) return straight;
  const [p, q, r] = fit.coefficients as [number, number, number];
  const apex = r < -0.02 ? Math.min(HALF_LENGTH, Math.max(-HALF_LENGTH, -q / (2 * r))) : 0;
  return { p, q, r, apex };
}

/** How far the flanks are followed from the crease: along the margin, down the crown, up the gingiva, mm. */
const FLANK_ALONG = 0.9;
const CROWN_FLANK = 0.9;
const GINGIVA_FLANK = 1;
/** The crease is looked for this far to both sides of the most hollow place, mm. */
const CREASE_REACH = 0.4;
/** Rounding of a crease as a scan shows it, mm. */
const CREASE_ROUND = 0.25;
/** Scatter of a scanned surface about such a simple profile, mm. */
const SURFACE_NOISE = 0.09;

/**
 * Where crown and gingiva meet at the arch's apex. Across the margin the surface is fitted by a straight flank of the
 * crown, a bending one of the gingiva and a rounded turn between them; the crease is the mean of the places
 * for the middle of the turn, each weighted by how well it explains the surface. The most hollow place of a scan lies beside it, drawn to the crown's side, since the gingiva bends
 * the other way close behind the crease.
 */
function creaseAcross(vertices: readonly MarginVertex[], arch: MarginArch): { a: number; n: number } | null {
  const height = (t: number) => arch.p + arch.q * t + arch.r * t * t;
  const strip = vertices.flatMap(({ t, a, n }) => {
    // Heights are taken from the arch of the margin, so that a strip of some width shows one profile.
    const off = (t - arch.apex) / FLANK_ALONG;
    const x = a - height(t);
    const weight = 1 - off * off;
    return weight > 0 ? [{ x, n, weight }] : [];
  });
  const tried: { x: number; n: number; error: number }[] = [];
  for (let x0 = -CREASE_REACH; x0 <= CREASE_REACH + 1e-9; x0 += 0.02) {
    const near = strip.filter(({ x }) => x > x0 - CROWN_FLANK && x < x0 + GINGIVA_FLANK);
    const rows = near.map(({ x, n, weight }) => {
      const from = x - x0;
      const above = Math.max(0, from);
      const turn = Math.sqrt(from * from + CREASE_ROUND * CREASE_ROUND);
      return { terms: [1, from, turn, above * above], value: n, weight };
    });
    const bending = leastSquares(rows);
    // The gingiva bends back or runs straight; where it would go on turning, the turn is not at x0.
    const fit =
      bending !== null && bending.coefficients[3]! > 0
        ? leastSquares(rows.map((row) => ({ ...row, terms: row.terms.slice(0, 3) })))
        : bending;
    if (fit === null) continue;
    const [level, , turn] = fit.coefficients as [number, number, number];
    // A positive turn is hollow: the gingiva rises more steeply than the crown.
    if (turn > 0) tried.push({ x: x0, n: level + turn * CREASE_ROUND, error: fit.error });
  }
  if (tried.length === 0) return null;
  const least = Math.min(...tried.map(({ error }) => error));
  let sum = 0;
  let x = 0;
  let n = 0;
  for (const place of tried) {
    const weight = exp((-strip.length * (place.error - least)) / (2 * SURFACE_NOISE * SURFACE_NOISE));
    sum += weight;
    x += weight * place.x;
    n += weight * place.n;
  }
  return { a: height(arch.apex) + x / sum, n: n / sum };
}

/** Weighted linear least squares; `error` is the weighted mean square left over. Null where the terms are not fixed. */
function leastSquares(
  rows: readonly { terms: readonly number[]; value: number; weight: number }[],
): { coefficients: number[]; error: number } | null {
  const size = rows[0]?.terms.length ?? 0;
  if (rows.length < size + 3) return null;
  const normal = Matrix.zeros(size, size);
  const right = Matrix.zeros(size, 1);
  let weights = 0;
  for (const { terms, value, weight } of rows) {
    weights += weight;
    for (let i = 0; i < size; i++) {
      right.set(i, 0, right.get(i, 0) + weight * terms[i]! * value);
      for (let j = 0; j < size; j++) normal.set(i, j, normal.get(i, j) + terms[i]! * terms[j]! * weight);
    }
  }
  const cholesky = new CholeskyDecomposition(normal);
  if (!cholesky.isPositiveDefinite()) return null;
  const coefficients = cholesky.solve(right).to1DArray();
  let squares = 0;
  for (const { terms, value, weight } of rows) {
    const off = value - terms.reduce((sum, term, i) => sum + term * coefficients[i]!, 0);
    squares += weight * off * off;
  }
  return { coefficients, error: squares / weights };
}
