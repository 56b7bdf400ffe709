import { RapheError } from "../errors";
import type { RigidTransform } from "../geometry/rigid-transform";
import type { Vector3 } from "../geometry/vector";
import { UNWATCHED } from "../job-control";
import { CONDITION_TO_REFUSE, type Firmness, firmness, fitCovariance, qualitySentence } from "./fit-quality";
import { type IcpPlan, planOf } from "./icp-plan";
import type { RigidIcpRequest } from "./icp-request";
import { findPairs, type MovingPoints, PointPairs, residualSizes, spreadOf } from "./point-pairs";
import { quantileOf } from "./quantile";
import type { Robustness } from "./robust-weights";

/** A rigid registration with what is known of its quality. */
export interface RigidFit {
  /** Moving → fixed, mm. */
  readonly transform: RigidTransform;
  readonly iterations: number;
  /** Root mean square distance of the points used from the other surface, along the normal, mm. */
  readonly rms: number;
  /** The same over all points that have a partner, the changed ones included, mm. */
  readonly rmsOfAll: number;
  /** Median of the distances of all points that have a partner, mm. */
  readonly medianAbsolute: number;
  /** Points used: with a partner and not left out as changed. */
  readonly points: number;
  /** `points` as a share of all points of the region. */
  readonly inlierShare: number;
  /** Share of the region's points that have a partner on the other surface. */
  readonly overlap: number;
  /** See `Firmness`. */
  readonly condition: number;
  /** 6×6 row by row: rotation vector (radians), shift (mm) at `centre`, axes of the fixed surface. */
  readonly covariance: Float64Array;
  /** Centroid of the region in fixed coordinates, mm. */
  readonly centre: Vector3;
  /** Area of the moving region, mm². */
  readonly area: number;
  /** One or more plain sentences about the quality. */
  readonly sentence: string;
}

/** Fewest pairs a fit is made from, and the least share of the points that must have a partner. */
const LEAST_PAIRS = 100;
const LEAST_OVERLAP = 0.1;

/**
 * Quality of a given position of a region on the other surface, by the rules of the last stage of `rigidIcp`.
 * @param iterations how many steps led to it
 * @throws RapheError `too-few-points`, `no-region-fits`, `fit-unstable`, `cancelled`, as `rigidIcp`
 */
export function assessFit(
  request: RigidIcpRequest,
  transform: RigidTransform,
  iterations: number,
  plan: IcpPlan = planOf(request),
): RigidFit {
  const { fixed, name } = request;
  const { points: sample, rule, weights } = plan.stages[plan.stages.length - 1]!;
  const pairs = new PointPairs(sample.count);
  findPairs(sample, transform, fixed, rule, request.job ?? UNWATCHED, pairs);
  requirePairs(pairs, sample, name);
  const sizes = residualSizes(pairs);
  const robustness = weights(sizes);
  const { centre, radius } = spreadOf(pairs);
  const medianAbsolute = quantileOf(sizes, 0.5);
  const firm = firmness(pairs, centre, radius, robustness, request.toFrame);
  const overlap = pairs.count / sample.count;
  const covariance = fitCovariance(pairs, centre, robustness, plan.area * overlap);
  if (covariance === null || !(firm.condition <= CONDITION_TO_REFUSE)) {
    throw tooSmooth(name, firm);
  }
  const { points, rms, rmsOfAll } = errorOf(pairs, robustness);
  const found = { rms, points, inlierShare: points / sample.count, overlap };
  return {
    ...found,
    transform,
    iterations,
    rmsOfAll,
    medianAbsolute,
    condition: firm.condition,
    covariance,
    centre,
    area: plan.area,
    sentence: qualitySentence(name, found, firm),
  };
}

function errorOf(pairs: PointPairs, robustness: Robustness): { points: number; rms: number; rmsOfAll: number } {
  let points = 0;
  let used = 0;
  let all = 0;
  for (let i = 0; i < pairs.count; i++) {
    const square = pairs.residuals[i]! * pairs.residuals[i]!;
    all += square;
    if (robustness.weight(pairs.residuals[i]!) > 0) {
      points++;
      used += square;
    }
  }
  return { points, rms: Math.sqrt(used / points), rmsOfAll: Math.sqrt(all / pairs.count) };
}

/** @throws RapheError `no-region-fits` where too little of the region meets the other surface */
export function requirePairs(pairs: PointPairs, points: MovingPoints, name: string): void {
  if (pairs.count >= LEAST_PAIRS && pairs.count >= LEAST_OVERLAP * points.count) return;
  throw noRegion(name, `only ${((100 * pairs.count) / points.count).toFixed(0)} % of it meets the other scan`);
}

/** The error of two surfaces that do not match. */
export const noRegion = (name: string, why: string): RapheError =>
  new RapheError({
    code: "no-region-fits",
    subject: name,
    problem: `the two scans do not match here: ${why}`,
    remedy: "Check that both scans show the same patient, that before and after are not exchanged, and the landmarks",
  });

/** The error of a fit that its shape does not hold. */
export const unstable = (name: string, why: string): RapheError =>
  new RapheError({
    code: "fit-unstable",
    subject: name,
    problem: `the position cannot be told: ${why}`,
    remedy: "Choose a larger region with more relief, such as the rugae",
  });

/** The error of a region whose shape leaves a movement free. */
export const tooSmooth = (name: string, firm: Firmness): RapheError =>
  unstable(name, `its shape is so smooth that it can ${firm.freest}`);
