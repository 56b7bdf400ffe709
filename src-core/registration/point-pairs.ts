import type { RigidTransform } from "../geometry/rigid-transform";
import type { Vector3 } from "../geometry/vector";
import { checkCancelled, type JobControl } from "../job-control";
import { nearestPoint } from "../mesh/point-tree";
import type { SurfaceSample } from "../mesh/sample-surface";
import type { RegistrationSurface } from "./registration-surface";

/** Points of the moving surface with their unit normals, in its own coordinates (mm). */
export interface MovingPoints {
  readonly positions: Float64Array;
  readonly normals: Float64Array;
  readonly count: number;
}

/**
 * The sampled points with normals, interpolated between the vertices. A flat triangle cuts the corner of the surface
 * that its vertices lie on; half of the way to the tangent planes of the three vertices, weighted as the point, leads back
 * on to it, exactly where the surface is quadratic (Boubekeur & Alexa 2008, ACM TOG 27:141, Phong tessellation).
 */
export function movingPoints(surface: RegistrationSurface, sample: SurfaceSample): MovingPoints {
  const { triangles, positions: vertices } = surface.mesh;
  const normals = new Float64Array(sample.positions.length);
  const positions = sample.positions.slice();
  for (let i = 0; i < sample.triangles.length; i++) {
    const t = sample.triangles[i]!;
    for (let corner = 0; corner < 3; corner++) {
      const v = 3 * triangles[3 * t + corner]!;
      const weight = sample.weights[3 * i + corner]!;
      let away = 0;
      for (let k = 0; k < 3; k++) {
        normals[3 * i + k]! += weight * surface.normals[v + k]!;
        away += (vertices[v + k]! - sample.positions[3 * i + k]!) * surface.normals[v + k]!;
      }
      for (let k = 0; k < 3; k++) positions[3 * i + k]! += (weight / 2) * away * surface.normals[v + k]!;
    }
    normaliseAt(normals, 3 * i);
  }
  return { positions, normals, count: sample.triangles.length };
}

/** Every n-th point, so that about `wanted` are left, still even over the surface. */
export function thinned(points: MovingPoints, wanted: number): MovingPoints {
  if (points.count <= wanted) return points;
  const positions = new Float64Array(3 * wanted);
  const normals = new Float64Array(3 * wanted);
  for (let i = 0; i < wanted; i++) {
    const from = 3 * Math.floor((i * points.count) / wanted);
    positions.set(points.positions.subarray(from, from + 3), 3 * i);
    normals.set(points.normals.subarray(from, from + 3), 3 * i);
  }
  return { positions, normals, count: wanted };
}

/** The moving points that found a partner on the fixed surface, in the fixed coordinates. */
export class PointPairs {
  /** Number of pairs; the arrays are filled up to it. */
  count = 0;
  /** The moved point, x, y, z (mm). */
  readonly points: Float64Array;
  /** Unit direction in which the pair is measured, x, y, z. */
  readonly normals: Float64Array;
  /** Signed distance of the moved point from its partner's plane, mm. */
  readonly residuals: Float64Array;
  /** Number of the moving point. */
  readonly numbers: Uint32Array;

  constructor(capacity: number) {
    this.points = new Float64Array(3 * capacity);
    this.normals = new Float64Array(3 * capacity);
    this.residuals = new Float64Array(capacity);
    this.numbers = new Uint32Array(capacity);
  }
}

/** Which partners are accepted. */
export interface PairRule {
  /** mm */
  readonly maxDistance: number;
  /** Cosine of the largest angle between the two normals. */
  readonly leastAgreement: number;
  /** Per vertex of the fixed surface, 0 = no partner; all if undefined. */
  readonly fixedRegion: Uint8Array | undefined;
}

/**
 * Partners of an earlier search. No vertex that lies farther away than the partner last found can be the nearest one. And
 * the nearest vertex stays the nearest while its point has moved less than half of the lead it has over the next one, so
 * late steps of a fit, which are small, search anew for few points.
 */
export class PartnerMemory {
  /** Vertex of the fixed surface; −1 where none was found. */
  readonly partners: Int32Array;
  /** Where the point was when its partner and the next vertex were searched, x, y, z (mm). */
  readonly places: Float64Array;
  /** Squared way the point may go from there without a search; negative where it has to be searched (mm²). */
  readonly free: Float64Array;
  /** How far from there the next vertex lay, mm; Infinity where that is not known. */
  readonly nextAway: Float64Array;

  constructor(count: number) {
    this.partners = new Int32Array(count).fill(-1);
    this.places = new Float64Array(3 * count);
    this.free = new Float64Array(count).fill(-1);
    this.nextAway = new Float64Array(count).fill(Infinity);
  }
}

const POLL_EVERY = 2000;
/** Squared distances of the nearest vertex and the next one. */
const nearestTwo = new Float64Array(2);
/** Less than the whole of what a point may move, because distances are rounded. */
const SURE = 1 - 1e-9;
/** For the same reason a search that is to meet a vertex goes a little beyond it. */
const BEYOND = 1 + 1e-9;

/**
 * Moves the points and looks for each the nearest vertex of the fixed surface. Left out are partners on an open
 * border, beyond it the surface is not known, masked ones, and partners whose surface faces elsewhere.
 * A pair is measured along the mean of the two normals: then two points of one curved surface that are not the same
 * point still have a residual of zero to second order (symmetric objective, Rusinkiewicz 2019, ACM TOG 38:85).
 * @param memory of the same points and fixed surface; used and brought up to date, the pairs are the same without
 * @param smallSteps whether most points are expected to keep their partners, so that remembering their lead is worth while
 * @throws RapheError `cancelled`
 */
export function findPairs(
  moving: MovingPoints,
  transform: RigidTransform,
  fixed: RegistrationSurface,
  rule: PairRule,
  job: JobControl,
  pairs: PointPairs,
  memory?: PartnerMemory,
  smallSteps = false,
): void {
  const [a, b, c, d, e, f, g, h, i] = transform.rotation;
  const [tx, ty, tz] = transform.translation;
  const { positions } = fixed.mesh;
  const covered = fixed.masked?.vertices;
  let count = 0;
  for (let m = 0; m < moving.count; m++) {
    if (m % POLL_EVERY === 0) checkCancelled(job);
    const px = moving.positions[3 * m]!;
    const py = moving.positions[3 * m + 1]!;
    const pz = moving.positions[3 * m + 2]!;
    const x = a * px + b * py + c * pz + tx;
    const y = d * px + e * py + f * pz + ty;
    const z = g * px + h * py + i * pz + tz;
    let partner: number;
    if (memory === undefined) partner = nearestPoint(fixed.points, x, y, z, rule.maxDistance);
    else if (smallSteps) partner = partnerKept(m, x, y, z, fixed, rule.maxDistance, memory);
    else partner = partnerAnew(m, x, y, z, fixed, rule.maxDistance, memory);
    if (partner < 0 || fixed.border[partner]! || covered?.[partner] === 1) continue;
    if (rule.fixedRegion !== undefined && !rule.fixedRegion[partner]!) continue;
    const mx = moving.normals[3 * m]!;
    const my = moving.normals[3 * m + 1]!;
    const mz = moving.normals[3 * m + 2]!;
    const ux = a * mx + b * my + c * mz;
    const uy = d * mx + e * my + f * mz;
    const uz = g * mx + h * my + i * mz;
    const vx = fixed.normals[3 * partner]!;
    const vy = fixed.normals[3 * partner + 1]!;
    const vz = fixed.normals[3 * partner + 2]!;
    if (!(ux * vx + uy * vy + uz * vz >= rule.leastAgreement)) continue;
    const l = Math.sqrt((ux + vx) * (ux + vx) + (uy + vy) * (uy + vy) + (uz + vz) * (uz + vz));
    const nx = (ux + vx) / l;
    const ny = (uy + vy) / l;
    const nz = (uz + vz) / l;
    pairs.points[3 * count] = x;
    pairs.points[3 * count + 1] = y;
    pairs.points[3 * count + 2] = z;
    pairs.normals[3 * count] = nx;
    pairs.normals[3 * count + 1] = ny;
    pairs.normals[3 * count + 2] = nz;
    pairs.residuals[count] =
      (x - positions[3 * partner]!) * nx +
      (y - positions[3 * partner + 1]!) * ny +
      (z - positions[3 * partner + 2]!) * nz;
    pairs.numbers[count] = m;
    count++;
  }
  pairs.count = count;
}

/** Squared distance of a vertex of the fixed surface from (x, y, z), mm². */
function squaredAway(fixed: RegistrationSurface, vertex: number, x: number, y: number, z: number): number {
  const { positions } = fixed.mesh;
  const dx = x - positions[3 * vertex]!;
  const dy = y - positions[3 * vertex + 1]!;
  const dz = z - positions[3 * vertex + 2]!;
  return dx * dx + dy * dy + dz * dz;
}

/** How far to search where a vertex is known to lie no farther away than this; a bound of 0 would find none. */
const searchedWithin = (away: number, maxDistance: number): number =>
  away === 0 ? maxDistance : Math.min(maxDistance, BEYOND * away);

/** The fixed vertex nearest to the m-th point, now at (x, y, z); −1 if none is nearer than `maxDistance`. */
function partnerAnew(
  m: number,
  x: number,
  y: number,
  z: number,
  fixed: RegistrationSurface,
  maxDistance: number,
  { partners, free, nextAway }: PartnerMemory,
): number {
  const last = partners[m]!;
  const away = last < 0 ? Infinity : Math.sqrt(squaredAway(fixed, last, x, y, z));
  const partner = nearestPoint(fixed.points, x, y, z, searchedWithin(away, maxDistance));
  partners[m] = partner;
  free[m] = -1;
  nextAway[m] = Infinity;
  return partner;
}

/** The same, remembering the lead of the nearest vertex over the next one: while it lasts nothing is searched. */
function partnerKept(
  m: number,
  x: number,
  y: number,
  z: number,
  fixed: RegistrationSurface,
  maxDistance: number,
  { partners, places, free, nextAway }: PartnerMemory,
): number {
  const dx = x - places[3 * m]!;
  const dy = y - places[3 * m + 1]!;
  const dz = z - places[3 * m + 2]!;
  const moved = dx * dx + dy * dy + dz * dz;
  if (moved < free[m]!) {
    return squaredAway(fixed, partners[m]!, x, y, z) < maxDistance * maxDistance ? partners[m]! : -1;
  }
  // The two vertices found there are still no farther away than by what the point has moved.
  const within = searchedWithin(nextAway[m]! + Math.sqrt(moved), maxDistance);
  const partner = nearestPoint(fixed.points, x, y, z, within, nearestTwo);
  partners[m] = partner;
  places[3 * m] = x;
  places[3 * m + 1] = y;
  places[3 * m + 2] = z;
  const next = Math.sqrt(nearestTwo[1]!);
  const lead = SURE * (next - Math.sqrt(nearestTwo[0]!));
  free[m] = partner < 0 ? -1 : (lead * lead) / 4;
  nextAway[m] = next < maxDistance ? next : Infinity;
  return partner;
}

/** |residual| of all pairs. */
export function residualSizes(pairs: PointPairs): Float64Array {
  const sizes = new Float64Array(pairs.count);
  for (let i = 0; i < pairs.count; i++) sizes[i] = Math.abs(pairs.residuals[i]!);
  return sizes;
}

/** Centroid of the moved points of all pairs, and their root mean square distance from it (mm). */
export function spreadOf(pairs: PointPairs): { centre: Vector3; radius: number } {
  const { points, count } = pairs;
  let [x, y, z] = [0, 0, 0];
  for (let i = 0; i < 3 * count; i += 3) {
    x += points[i]!;
    y += points[i + 1]!;
    z += points[i + 2]!;
  }
  const centre: Vector3 = [x / count, y / count, z / count];
  let squares = 0;
  for (let i = 0; i < 3 * count; i += 3) {
    x = points[i]! - centre[0];
    y = points[i + 1]! - centre[1];
    z = points[i + 2]! - centre[2];
    squares += x * x + y * y + z * z;
  }
  return { centre, radius: Math.sqrt(squares / count) };
}

function normaliseAt(values: Float64Array, at: number): void {
  const l = Math.sqrt(
    values[at]! * values[at]! + values[at + 1]! * values[at + 1]! + values[at + 2]! * values[at + 2]!,
  );
  if (l > 0) for (let k = 0; k < 3; k++) values[at + k]! /= l;
}
