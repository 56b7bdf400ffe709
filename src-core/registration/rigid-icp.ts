import { RapheError } from "../errors";
import { compose, fromRotationVector, type RigidTransform } from "../geometry/rigid-transform";
import { length, type Vector3 } from "../geometry/vector";
import { type JobControl, UNWATCHED } from "../job-control";
import { regionArea, sampleSurface } from "../mesh/sample-surface";
import { CONDITION_TO_REFUSE, firmness, fitCovariance, qualitySentence } from "./fit-quality";
import { normalEquations, solve } from "./normal-equations";
import {
  findPairs,
  type MovingPoints,
  movingPoints,
  type PairRule,
  PointPairs,
  sortedResiduals,
  spreadOf,
  thinned,
} from "./point-pairs";
import type { RegistrationSurface } from "./registration-surface";
import { EVERY_PAIR, huber, MEDIAN_TO_SD, quantileOfSorted, type Robustness, trimmed, tukey } from "./robust-weights";

/**
 * What happens to points that do not match:
 * - `tukey`: they are taken as changed and left out; for a region that moved as one piece.
 * - `even`: every point keeps pulling, only the largest tenth no harder than the rest; for a region that came apart,
 *   whose opening is then shared about evenly and never given to one part alone.
 */
export type RobustnessMode = "tukey" | "even";

export interface RigidIcpRequest {
  readonly moving: RegistrationSurface;
  readonly fixed: RegistrationSurface;
  /** Moving → fixed, mm: a few degrees and millimetres from the truth, as landmarks give it. */
  readonly start: RigidTransform;
  /** Per vertex of the moving surface, 0 = takes no part; the whole surface if left out. */
  readonly region?: Uint8Array;
  /** Per vertex of the fixed surface, 0 = no partner; the whole surface if left out. */
  readonly fixedRegion?: Uint8Array;
  readonly robustness: RobustnessMode;
  /** What the region is called in sentences: 'The palate'. */
  readonly name: string;
  /** Fixed coordinates → arch frame, so that sentences can say which way a region may slide. */
  readonly toFrame?: RigidTransform;
  /** Points sampled at most. */
  readonly samples?: number;
  readonly seed?: number;
  readonly job?: JobControl;
}

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

/** Smallest region that can be registered, mm², and fewest pairs a fit is made from. */
const LEAST_AREA = 20;
const LEAST_PAIRS = 100;
/** Points per mm² of the region, and their limits. */
const DENSITY = 10;
const FEWEST_SAMPLES = 1000;
const MOST_SAMPLES = 20_000;
const COARSE_SAMPLES = 3000;
const MIDDLE_SAMPLES = 8000;
/** Share kept by the trimmed stage: right for up to a quarter of changed surface. */
const KEPT_SHARE = 0.75;
/** Share that pulls in full in an `even` fit. */
const FULL_PULL_SHARE = 0.9;
/** Smallest standard deviation a residual is measured by, mm: that of a good scanner. */
const LEAST_SCALE = 0.02;
const MOST_ITERATIONS = 60;
/** Steps (mm at the region) at which a stage is done, and above which a fit that ran out of iterations is refused. */
const COARSE_STEP = 0.01;
const MIDDLE_STEP = 0.002;
const FINE_STEP = 1e-4;
const UNSETTLED_STEP = 0.01;
/** Median distance above which the two regions are not the same surface, mm. */
const NOT_THE_SAME = 1;

/** One stage: which points, which partners, which weights, how far. */
interface Stage {
  readonly points: MovingPoints;
  readonly rule: PairRule;
  readonly weights: (sorted: Float64Array) => Robustness;
  readonly step: number;
  readonly progress: readonly [from: number, to: number];
}

/**
 * Registers a region of one surface to another by robust point-to-plane ICP: a coarse stage with every pair (the
 * widest basin), then the best three quarters (Chetverikov, Stepanov & Krsek 2005), then Tukey's biweight with the
 * scale from the median absolute residual, at least 0.02 mm, until the step is below 1e-4 mm; `even` fits go from the
 * coarse stage to Huber's weight. Equal input gives equal output to the last digit.
 * @throws RapheError `too-few-points` (region too small), `no-region-fits` (no partners, or they lie too far apart),
 *   `fit-unstable` (the shape does not hold the position), `cancelled`
 */
export function rigidIcp(request: RigidIcpRequest): RigidFit {
  const { moving, fixed, name } = request;
  const job = request.job ?? UNWATCHED;
  const area = regionArea(moving.mesh, request.region);
  if (!(area >= LEAST_AREA)) {
    throw new RapheError({
      code: "too-few-points",
      subject: name,
      problem: `the region is only ${area.toFixed(0)} mm² large, ${LEAST_AREA} mm² are needed`,
      remedy: "Choose a larger region, or check that the landmarks belong to this scan",
    });
  }
  const most = request.samples ?? MOST_SAMPLES;
  const count = Math.min(most, Math.max(FEWEST_SAMPLES, Math.round(area * DENSITY)));
  const all = movingPoints(moving, sampleSurface(moving.mesh, count, request.seed ?? 1, request.region));
  const rule = (maxDistance: number, leastAgreement: number): PairRule => ({
    maxDistance,
    leastAgreement,
    fixedRegion: request.fixedRegion,
  });
  const coarse: Stage = {
    points: thinned(all, COARSE_SAMPLES),
    rule: rule(20, COS_60),
    weights: () => EVERY_PAIR,
    step: COARSE_STEP,
    progress: [0, 0.25],
  };
  const stages: readonly Stage[] =
    request.robustness === "tukey"
      ? [
          coarse,
          {
            points: thinned(all, MIDDLE_SAMPLES),
            rule: rule(5, COS_45),
            weights: (sorted) => trimmed(quantileOfSorted(sorted, KEPT_SHARE)),
            step: MIDDLE_STEP,
            progress: [0.25, 0.5],
          },
          {
            points: all,
            rule: rule(2, COS_45),
            weights: (sorted) => tukey(Math.max(LEAST_SCALE, MEDIAN_TO_SD * quantileOfSorted(sorted, 0.5))),
            step: FINE_STEP,
            progress: [0.5, 1],
          },
        ]
      : [
          coarse,
          {
            points: all,
            rule: rule(5, COS_45),
            weights: (sorted) => huber(Math.max(LEAST_SCALE, quantileOfSorted(sorted, FULL_PULL_SHARE))),
            step: FINE_STEP,
            progress: [0.25, 1],
          },
        ];

  const pairs = new PointPairs(all.count);
  let transform = request.start;
  let iterations = 0;
  let lastStep = Infinity;
  for (const stage of stages) {
    for (let round = 0; round < MOST_ITERATIONS; round++) {
      findPairs(stage.points, transform, fixed, stage.rule, job, pairs);
      requirePairs(pairs, stage.points, name);
      const robustness = stage.weights(sortedResiduals(pairs));
      const { centre, radius } = spreadOf(pairs);
      const motion = solve(normalEquations(pairs, centre, robustness.weight));
      if (motion === null) throw unstable(name, "its shape leaves a movement free");
      const turn: Vector3 = [motion[0]!, motion[1]!, motion[2]!];
      const shift: Vector3 = [motion[3]!, motion[4]!, motion[5]!];
      transform = compose(fromRotationVector(turn, shift, centre), transform);
      iterations++;
      lastStep = length(shift) + length(turn) * radius;
      job.progress(stage.progress[0] + (stage.progress[1] - stage.progress[0]) * (round / (round + 4)));
      if (lastStep < stage.step) break;
    }
    job.progress(stage.progress[1]);
  }
  if (!(lastStep < UNSETTLED_STEP)) throw unstable(name, "the fit does not come to rest");

  const last = stages[stages.length - 1]!;
  findPairs(all, transform, fixed, last.rule, job, pairs);
  requirePairs(pairs, all, name);
  const sorted = sortedResiduals(pairs);
  const robustness = last.weights(sorted);
  const { centre, radius } = spreadOf(pairs);
  const medianAbsolute = quantileOfSorted(sorted, 0.5);
  if (!(medianAbsolute < NOT_THE_SAME)) throw noRegion(name, `its surface lies ${medianAbsolute.toFixed(1)} mm away`);
  const firm = firmness(pairs, centre, radius, robustness, request.toFrame);
  const overlap = pairs.count / all.count;
  const covariance = fitCovariance(pairs, centre, robustness, area * overlap);
  if (covariance === null || !(firm.condition <= CONDITION_TO_REFUSE)) {
    throw unstable(name, `its shape is so smooth that it can ${firm.freest}`);
  }
  const { points, rms, rmsOfAll } = errorOf(pairs, robustness);
  const found = { rms, points, inlierShare: points / all.count, overlap };
  return {
    ...found,
    transform,
    iterations,
    rmsOfAll,
    medianAbsolute,
    condition: firm.condition,
    covariance,
    centre,
    area,
    sentence: qualitySentence(name, found, firm),
  };
}

const COS_45 = Math.SQRT1_2;
const COS_60 = 0.5;

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

function requirePairs(pairs: PointPairs, points: MovingPoints, name: string): void {
  if (pairs.count >= LEAST_PAIRS && pairs.count >= 0.1 * points.count) return;
  throw noRegion(name, `only ${((100 * pairs.count) / points.count).toFixed(0)} % of it meets the other scan`);
}

const noRegion = (name: string, why: string): RapheError =>
  new RapheError({
    code: "no-region-fits",
    subject: name,
    problem: `the two scans do not match here: ${why}`,
    remedy: "Check that both scans show the same patient, that before and after are not exchanged, and the landmarks",
  });

const unstable = (name: string, why: string): RapheError =>
  new RapheError({
    code: "fit-unstable",
    subject: name,
    problem: `the position cannot be told: ${why}`,
    remedy: "Choose a larger region with more relief, such as the rugae",
  });
