import { compose, fromRotationVector } from "../geometry/rigid-transform";
import { length, type Vector3 } from "../geometry/vector";
import { UNWATCHED } from "../job-control";
import { firmness } from "./fit-quality";
import { planOf } from "./icp-plan";
import type { RigidIcpRequest } from "./icp-request";
import { normalEquations, solve } from "./normal-equations";
import { findPairs, PartnerMemory, PointPairs, residualSizes, spreadOf } from "./point-pairs";
import { assessFit, noRegion, type RigidFit, requirePairs, tooSmooth, unstable } from "./rigid-fit";

const MOST_ITERATIONS = 60;
/** Partners that change to and fro can keep a stage from its last step: it ends after so many rounds without progress. */
const ROUNDS_WITHOUT_PROGRESS = 8;
/** Step above which that is no rest, and the fit is refused, mm at the region. */
const UNSETTLED_STEP = 0.01;
/** After a smaller step than this most points keep their partners, mm. */
const SMALL_STEP = 0.05;
/** Median distance above which the two regions are not the same surface, mm. */
const NOT_THE_SAME = 1;

/**
 * Registers a region of one surface to another by robust point-to-plane ICP: a coarse stage with every pair (the
 * widest basin), then the best three quarters (Chetverikov, Stepanov & Krsek 2005), then Tukey's biweight with the
 * scale from the median absolute residual, at least 0.02 mm, until the step is below 1e-4 mm; `even` fits go from the
 * coarse stage to Huber's weight. Masked parts of either surface take no part. Equal input gives equal output to the last digit.
 * @throws RapheError `too-few-points` (region too small), `no-region-fits` (no partners, or they lie too far apart),
 *   `fit-unstable` (the shape does not hold the position), `cancelled`
 */
export function rigidIcp(request: RigidIcpRequest): RigidFit {
  const { fixed, name } = request;
  const job = request.job ?? UNWATCHED;
  const plan = planOf(request);
  const pairs = new PointPairs(Math.max(...plan.stages.map((stage) => stage.points.count)));
  let transform = request.start;
  let iterations = 0;
  let lastStep = Infinity;
  for (const { points, rule, weights, step, progress } of plan.stages) {
    let smallest = Infinity;
    let waiting = 0;
    const memory = new PartnerMemory(points.count);
    for (let round = 0; round < MOST_ITERATIONS; round++) {
      findPairs(points, transform, fixed, rule, job, pairs, memory, lastStep < SMALL_STEP);
      requirePairs(pairs, points, name);
      const { centre, radius } = spreadOf(pairs);
      const robustness = weights(residualSizes(pairs));
      const motion = solve(normalEquations(pairs, centre, robustness.weight));
      if (motion === null) throw tooSmooth(name, firmness(pairs, centre, radius, robustness, request.toFrame));
      const turn: Vector3 = [motion[0]!, motion[1]!, motion[2]!];
      const shift: Vector3 = [motion[3]!, motion[4]!, motion[5]!];
      transform = compose(fromRotationVector(turn, shift, centre), transform);
      iterations++;
      lastStep = length(shift) + length(turn) * radius;
      job.progress(progress[0] + (progress[1] - progress[0]) * (round / (round + 4)));
      waiting = lastStep < smallest ? 0 : waiting + 1;
      smallest = Math.min(smallest, lastStep);
      if (lastStep < step || (lastStep < UNSETTLED_STEP && waiting >= ROUNDS_WITHOUT_PROGRESS)) break;
    }
    job.progress(progress[1]);
  }
  if (!(lastStep < UNSETTLED_STEP)) throw unstable(name, "the fit does not come to rest");
  const fit = assessFit(request, transform, iterations, plan);
  if (!(fit.medianAbsolute < NOT_THE_SAME)) {
    throw noRegion(name, `its surface lies ${fit.medianAbsolute.toFixed(1)} mm away`);
  }
  return fit;
}
