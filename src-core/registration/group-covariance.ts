import type { RigidTransform } from "../geometry/rigid-transform";
import type { JobControl } from "../job-control";
import { regionArea, sampleSurface } from "../mesh/sample-surface";
import { inverse, normalEquations } from "./normal-equations";
import { findPairs, movingPoints, type PairRule, PointPairs } from "./point-pairs";
import { quantileOfSorted } from "./quantile";
import type { RegistrationSurface } from "./registration-surface";
import type { RigidFit } from "./rigid-fit";
import { MEDIAN_TO_SD, tukey } from "./robust-weights";

/** Points per mm² of a member. */
const DENSITY = 5;
/** As the last stage of `rigidIcp`. */
const RULE: PairRule = { maxDistance: 2, leastAgreement: Math.SQRT1_2, fixedRegion: undefined };
const LEAST_SCALE = 0.02;

/**
 * What it adds to a fit's covariance that the region is a group whose members may each have moved a little by
 * themselves: the delete-one-group jackknife, (n − 1)/n · Σ (θ₍₋ᵢ₎ − θ̄)(θ₍₋ᵢ₎ − θ̄)ᵀ (Shao & Wu 1989, Ann Stat 17:1176),
 * each θ₍₋ᵢ₎ by one step of the weighted fit without member i.
 * @param members per member its vertices on the moving surface, 0 = not part of it; at least three
 * @returns 6×6 row by row, order and axes of `RigidFit.covariance`; null where the fit without one member is not held
 */
export function memberCovariance(
  moving: RegistrationSurface,
  fixed: RegistrationSurface,
  fit: Pick<RigidFit, "transform" | "centre">,
  members: readonly Uint8Array[],
  job: JobControl,
): Float64Array | null {
  const found = members.map((mask) => pairsOf(moving, fixed, fit.transform, mask, job));
  const sizes = Float64Array.from(found.flatMap((p) => Array.from(p.residuals.subarray(0, p.count), Math.abs))).sort();
  if (sizes.length === 0) return null;
  const { weight } = tukey(Math.max(LEAST_SCALE, MEDIAN_TO_SD * quantileOfSorted(sizes, 0.5)));
  const parts = found.map((pairs) => normalEquations(pairs, fit.centre, weight));
  const total = (pick: "matrix" | "right", length: number) =>
    Float64Array.from({ length }, (_, k) => parts.reduce((sum, part) => sum + part[pick][k]!, 0));
  const [matrix, right] = [total("matrix", 36), total("right", 6)];
  const steps: number[][] = [];
  for (const part of parts) {
    const rest = inverse(matrix.map((value, k) => value - part.matrix[k]!));
    if (rest === null) return null;
    const pull = right.map((value, k) => value - part.right[k]!);
    steps.push(Array.from({ length: 6 }, (_, i) => pull.reduce((sum, p, j) => sum + rest[6 * i + j]! * p, 0)));
  }
  const n = steps.length;
  const mean = Array.from({ length: 6 }, (_, i) => steps.reduce((sum, s) => sum + s[i]!, 0) / n);
  return Float64Array.from({ length: 36 }, (_, k) => {
    const [i, j] = [Math.floor(k / 6), k % 6];
    return (steps.reduce((sum, s) => sum + (s[i]! - mean[i]!) * (s[j]! - mean[j]!), 0) * (n - 1)) / n;
  });
}

function pairsOf(
  moving: RegistrationSurface,
  fixed: RegistrationSurface,
  transform: RigidTransform,
  mask: Uint8Array,
  job: JobControl,
): PointPairs {
  const count = Math.max(1, Math.round(regionArea(moving.mesh, mask) * DENSITY));
  const points = movingPoints(moving, sampleSurface(moving.mesh, count, 1, mask));
  const pairs = new PointPairs(points.count);
  findPairs(points, transform, fixed, RULE, job, pairs);
  return pairs;
}
