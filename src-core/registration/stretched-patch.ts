import { CholeskyDecomposition, Matrix } from "ml-matrix";
import { apply, fromRotationVector, IDENTITY, invert, type RigidTransform, rotate } from "../geometry/rigid-transform";
import { add, addScaled, cross, distance, dot, length, scale, subtract, unit, type Vector3 } from "../geometry/vector";
import type { JobControl } from "../job-control";
import { withoutMasked } from "../mesh/masked-surface";
import { sampleSurface } from "../mesh/sample-surface";
import { vertexCount } from "../mesh/triangle-mesh";
import { largestPart } from "./largest-part";
import { MEDIAN_STRIP } from "./palate-region";
import { findPairs, type MovingPoints, movingPoints, PointPairs, residualSizes } from "./point-pairs";
import { quantileOf } from "./quantile";
import type { RegistrationSurface } from "./registration-surface";
import { MEDIAN_TO_SD, tukey } from "./robust-weights";

/** A point on the tissue that stretches between two halves, and what is known of where it went. */
export interface StretchedPatchRequest {
  readonly moving: RegistrationSurface;
  readonly fixed: RegistrationSurface;
  /** On the moving surface, its file coordinates, mm. */
  readonly point: Vector3;
  /** Unit vector from the right half to the left, moving file axes. */
  readonly across: Vector3;
  /** Moving → fixed: of both halves, and midway between them. */
  readonly right: RigidTransform;
  readonly left: RigidTransform;
  readonly between: RigidTransform;
  /** Covariance of the place midway, 3×3 rows, mm², fixed file axes. */
  readonly prior: readonly (readonly number[])[];
  /** Standard uncertainty of the patch's turn against the motion midway, radians. */
  readonly turn: number;
  readonly job: JobControl;
}

/** Where a patch lies, by its surface and by the place midway together. */
export interface StretchedPatchFit {
  /** From the place midway, mm, fixed file axes. */
  readonly shift: Vector3;
  /** Of the shift, 3×3 rows, mm²: never larger than the prior's. */
  readonly covariance: readonly (readonly number[])[];
}

/** Radius of the patch, mm: inside the strip that belongs to neither half. */
const RADIUS = 3;
/** Points per mm² of the patch; of them one per mm² counts as independent, as in `fitCovariance`. */
const DENSITY = 10;
const LEAST_PAIRS = 100;
/** As for a crown: less of the patch with a partner, or less of it matching, or more loosely (mm), has changed. */
const LEAST_OVERLAP = 0.6;
const LEAST_INLIERS = 0.7;
const LOOSEST = 0.1;
/** Rise of the left half's share across the strip, 1/mm: from none to all over its width, more or less. */
const RISE = 1 / (2 * MEDIAN_STRIP);
const RISE_UNCERTAINTY = 0.05;
/** χ² of three degrees of freedom at 99.9 % (tabulated): a shift less likely than that is not believed. */
const FARTHEST = 16.27;
const LEAST_SCALE = 0.02;
const MOST_ROUNDS = 25;
const FINE_STEP = 1e-4;
/** Last step above which the fit is not at rest, mm. */
const UNSETTLED_STEP = 0.01;
const RULE = { maxDistance: 2, leastAgreement: Math.SQRT1_2, fixedRegion: undefined };
const UNKNOWNS = 7;

/** The patch as it lies: shift (mm) and turn (radians) about the point, and the rise of the share (1/mm). */
interface State {
  readonly shift: Vector3;
  readonly turned: RigidTransform;
  readonly rise: number;
}

/**
 * Finds a point of the stretched tissue by the surface round it. A rigid patch does not do: what opened by some
 * millimetres is stretched to nearly twice its width, and a rigid patch slides along the ridge. Here the patch goes with
 * the motion midway, and across it from the right half's motion to the left half's by a share that rises evenly; sought
 * are its shift, its turn and that rise (1/mm) together, by point-to-plane pairs with Tukey's weights as in `rigidIcp`.
 * The place midway and its covariance enter as a prior, weighted by its inverse (Gauss-Newton with a Gaussian prior;
 * Tarantola 2005, Inverse Problem Theory, 3.2): where the shape leaves a movement free, as along a smooth ridge, the
 * prior holds it. Noise alone does not count as shape, see `seenBy`.
 * @returns null where the patch changed, does not come to rest, or lies farther from midway than the prior allows
 * @throws RapheError `cancelled`
 */
export function fitStretchedPatch(request: StretchedPatchRequest): StretchedPatchFit | null {
  const { moving, fixed, point, between, job } = request;
  const sample = sampleSurface(moving.mesh, Math.round(DENSITY * Math.PI * RADIUS * RADIUS), 1, patchOf(moving, point));
  const points = movingPoints(moving, sample);
  const pairs = new PointPairs(points.count);
  const prior = priorOf(request);
  const place = apply(between, point);
  let sought = new Array<number>(UNKNOWNS).fill(0);
  let covariance = prior;
  let inliers = 0;
  let spread = 0;
  let step = Infinity;
  for (let round = 0; round < MOST_ROUNDS && step >= FINE_STEP; round++) {
    const state = stateOf(sought);
    const { moved, slopes } = stretched(request, points, place, state);
    findPairs(moved, IDENTITY, fixed, RULE, job, pairs);
    if (pairs.count < LEAST_PAIRS || pairs.count < LEAST_OVERLAP * points.count) return null;
    spread = MEDIAN_TO_SD * quantileOf(residualSizes(pairs), 0.5);
    const seen = seenBy(pairs, moved.normals, slopes, add(place, state.shift), spread, points.count / sample.area);
    inliers = seen.inliers;
    const found = estimate(prior, seen, sought);
    step = length(firstThree(found.sought.map((value, k) => value - sought[k]!)));
    sought = found.sought;
    covariance = found.covariance;
  }
  const changed = spread > LOOSEST || inliers < LEAST_INLIERS * pairs.count;
  if (changed || !(step < UNSETTLED_STEP)) return null;
  const shift = firstThree(sought);
  const unlikely = Matrix.columnVector([...shift]);
  if (
    unlikely
      .transpose()
      .mmul(solve(part(prior), unlikely))
      .get(0, 0) > FARTHEST
  )
    return null;
  return { shift, covariance: part(covariance).to2DArray() };
}

const firstThree = (values: readonly number[]): Vector3 => [values[0]!, values[1]!, values[2]!];

const part = (covariance: Matrix): Matrix => covariance.subMatrix(0, 2, 0, 2);

const stateOf = (sought: readonly number[]): State => ({
  shift: firstThree(sought),
  turned: fromRotationVector(firstThree(sought.slice(3))),
  rise: RISE + sought[6]!,
});

/** Covariance of what is sought before the surface is looked at: shift, turn, rise. */
function priorOf({ prior, turn }: StretchedPatchRequest): Matrix {
  const all = Matrix.diag([0, 0, 0, turn * turn, turn * turn, turn * turn, RISE_UNCERTAINTY * RISE_UNCERTAINTY]);
  return all.setSubMatrix(
    prior.map((row) => [...row]),
    0,
    0,
  );
}

/** The surface within the radius of the point that is connected, without what is masked. */
function patchOf(surface: RegistrationSurface, point: Vector3): Uint8Array {
  const { positions } = surface.mesh;
  const near = new Uint8Array(vertexCount(surface.mesh));
  for (let v = 0; v < near.length; v++) {
    if (distance([positions[3 * v]!, positions[3 * v + 1]!, positions[3 * v + 2]!], point) < RADIUS) near[v] = 1;
  }
  return withoutMasked(surface, largestPart(surface, near));
}

/** The points with their normals as the patch lies now, and how each follows the rise of the share, x, y, z. */
function stretched(
  { point, across, right, left, between }: StretchedPatchRequest,
  points: MovingPoints,
  place: Vector3,
  { shift, turned, rise }: State,
): { moved: MovingPoints; slopes: Float64Array } {
  const positions = new Float64Array(points.positions.length);
  const normals = new Float64Array(points.positions.length);
  const slopes = new Float64Array(points.positions.length);
  const back = invert(between);
  const at = add(place, shift);
  for (let i = 0; i < points.positions.length; i += 3) {
    const p: Vector3 = [points.positions[i]!, points.positions[i + 1]!, points.positions[i + 2]!];
    const normal: Vector3 = [points.normals[i]!, points.normals[i + 1]!, points.normals[i + 2]!];
    const apart = subtract(apply(left, p), apply(right, p));
    const from = dot(subtract(p, point), across);
    const share = Math.min(0.5, Math.max(-0.5, rise * from));
    const follows = share === rise * from;
    const own = addScaled(subtract(apply(between, p), place), apart, share);
    positions.set(add(at, rotate(turned, own)), i);
    if (follows) slopes.set(scale(rotate(turned, apart), from), i);
    // Where the share is full the tissue turns with its half; elsewhere F = H + rise·apart·acrossᵀ turns normals by F⁻ᵀ.
    const motion = follows ? between : share > 0 ? left : right;
    const pull = rotate(back, scale(apart, follows ? rise : 0));
    const leant = addScaled(normal, across, -dot(pull, normal) / (1 + dot(pull, across)));
    normals.set(rotate(turned, rotate(motion, unit(leant))), i);
  }
  return { moved: { positions, normals, count: points.count }, slopes };
}

/** What the pairs say, weighted: −JᵀWr, its covariance JᵀWJ, and how it follows what is sought. */
interface Seen {
  readonly right: Matrix;
  readonly noise: Matrix;
  readonly signal: Matrix;
  readonly inliers: number;
}

/**
 * Noise tilts normals and makes a smooth ridge look as if it held. Both scans' noise is independent: what their two
 * normals of a pair have in common, ½(JₘᵀJ_f + J_fᵀJₘ), is the shape alone (as with an instrumental variable).
 */
function seenBy(
  pairs: PointPairs,
  movedNormals: Float64Array,
  slopes: Float64Array,
  centre: Vector3,
  spread: number,
  perIndependent: number,
): Seen {
  const deviation = Math.max(LEAST_SCALE, spread);
  const { weight } = tukey(deviation);
  const noise = Matrix.zeros(UNKNOWNS, UNKNOWNS);
  const signal = Matrix.zeros(UNKNOWNS, UNKNOWNS);
  const right = Matrix.zeros(UNKNOWNS, 1);
  let inliers = 0;
  for (let i = 0; i < pairs.count; i++) {
    const residual = pairs.residuals[i]!;
    const w = weight(residual) / (deviation * deviation * perIndependent);
    if (w === 0) continue;
    inliers++;
    const m = pairs.numbers[i]!;
    const arm = subtract(vectorAt(pairs.points, i), centre);
    const slope = vectorAt(slopes, m);
    const rowOf = (normal: Vector3): number[] => [...normal, ...cross(arm, normal), dot(normal, slope)];
    const normal = vectorAt(pairs.normals, i);
    const one = vectorAt(movedNormals, m);
    const row = rowOf(normal);
    const rowOne = rowOf(one);
    // The pair's normal halves the angle between the two.
    const rowOther = rowOf(subtract(scale(normal, 2 * dot(normal, one)), one));
    for (let a = 0; a < UNKNOWNS; a++) {
      right.set(a, 0, right.get(a, 0) - w * row[a]! * residual);
      for (let b = 0; b < UNKNOWNS; b++) {
        noise.set(a, b, noise.get(a, b) + w * row[a]! * row[b]!);
        signal.set(a, b, signal.get(a, b) + (w / 2) * (rowOne[a]! * rowOther[b]! + rowOther[a]! * rowOne[b]!));
      }
    }
  }
  return { right, noise, signal, inliers };
}

const vectorAt = (values: Float64Array, i: number): Vector3 => [values[3 * i]!, values[3 * i + 1]!, values[3 * i + 2]!];

/**
 * What is sought by the prior (P) and by what is seen, S·x with the covariance N: x = G·seen with
 * G = P·S·(S·P·S + N)⁻¹, and its covariance P − G·S·P.
 */
function estimate(
  prior: Matrix,
  { right, noise, signal }: Seen,
  sought: readonly number[],
): { sought: number[]; covariance: Matrix } {
  const through = signal.mmul(prior);
  const spread = Matrix.add(through.mmul(signal), noise);
  // What nothing can move (no opening: no rise) is seen with no error and no signal.
  for (let k = 0; k < UNKNOWNS; k++) spread.set(k, k, spread.get(k, k) + 1e-9 / prior.get(k, k));
  const gain = solve(spread, through).transpose();
  const seen = Matrix.add(right, signal.mmul(Matrix.columnVector([...sought])));
  return { sought: gain.mmul(seen).to1DArray(), covariance: Matrix.sub(prior, gain.mmul(through)) };
}

/** M⁻¹·b for a symmetric positive definite M, made symmetric to the last digit. */
function solve(matrix: Matrix, right: Matrix): Matrix {
  const even = Matrix.add(matrix, matrix.transpose()).mul(0.5);
  return new CholeskyDecomposition(even).solve(right);
}
