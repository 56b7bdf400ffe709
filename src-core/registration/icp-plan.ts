import { RapheError } from "../errors";
import { withoutMasked } from "../mesh/masked-surface";
import { regionArea, sampleSurface } from "../mesh/sample-surface";
import type { Surface } from "../mesh/surface";
import { vertexCount } from "../mesh/triangle-mesh";
import type { RigidIcpRequest } from "./icp-request";
import { type MovingPoints, movingPoints, type PairRule, thinned } from "./point-pairs";
import { quantileOf } from "./quantile";
import { EVERY_PAIR, huber, MEDIAN_TO_SD, type Robustness, trimmed, tukey } from "./robust-weights";

/** One stage of a registration: which points, which partners, which weights, how far. */
export interface IcpStage {
  readonly points: MovingPoints;
  readonly rule: PairRule;
  /** From the sizes of all residuals, in any order; they may be reordered. */
  readonly weights: (sizes: Float64Array) => Robustness;
  /** The stage is done when a step is smaller, mm at the region. */
  readonly step: number;
  readonly progress: readonly [from: number, to: number];
}

/** How a region is going to be registered. */
export interface IcpPlan {
  /** Area of the region, mm². */
  readonly area: number;
  readonly stages: readonly IcpStage[];
}

/** Smallest region that can be registered, mm². */
const LEAST_AREA = 20;
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
const COARSE_STEP = 0.01;
const MIDDLE_STEP = 0.002;
const FINE_STEP = 1e-4;
const COS_45 = Math.SQRT1_2;
const COS_60 = 0.5;

/**
 * The stages for a region: coarse with every pair; then for `tukey` the best three quarters and Tukey's biweight, for
 * `even` Huber's weight.
 * @throws RapheError `too-few-points` where the region is smaller than 20 mm²
 */
export function planOf(request: RigidIcpRequest): IcpPlan {
  const { moving, name } = request;
  const region = uncovered(moving, request.region);
  const area = regionArea(moving.mesh, region);
  if (!(area >= LEAST_AREA)) {
    throw new RapheError({
      code: "too-few-points",
      subject: name,
      problem: `the region is only ${area.toFixed(0)} mm² large, ${LEAST_AREA} mm² are needed`,
      remedy: "Choose a larger region, or check that the landmarks belong to this scan",
    });
  }
  const count = Math.min(request.samples ?? MOST_SAMPLES, Math.max(FEWEST_SAMPLES, Math.round(area * DENSITY)));
  const all = movingPoints(moving, sampleSurface(moving.mesh, count, request.seed ?? 1, region));
  const rule = (maxDistance: number, leastAgreement: number): PairRule => ({
    maxDistance,
    leastAgreement,
    fixedRegion: request.fixedRegion,
  });
  const coarse: IcpStage = {
    points: thinned(all, COARSE_SAMPLES),
    rule: rule(20, COS_60),
    weights: () => EVERY_PAIR,
    step: COARSE_STEP,
    progress: [0, 0.25],
  };
  if (request.robustness === "even") {
    const huberStage: IcpStage = {
      points: all,
      rule: rule(5, COS_45),
      weights: (sizes) => huber(Math.max(LEAST_SCALE, quantileOf(sizes, FULL_PULL_SHARE))),
      step: FINE_STEP,
      progress: [0.25, 1],
    };
    return { area, stages: [coarse, huberStage] };
  }
  const trimmedStage: IcpStage = {
    points: thinned(all, MIDDLE_SAMPLES),
    rule: rule(5, COS_45),
    weights: (sizes) => trimmed(quantileOf(sizes, KEPT_SHARE)),
    step: MIDDLE_STEP,
    progress: [0.25, 0.5],
  };
  const tukeyStage: IcpStage = {
    points: all,
    rule: rule(2, COS_45),
    weights: (sizes) => tukey(Math.max(LEAST_SCALE, MEDIAN_TO_SD * quantileOf(sizes, 0.5))),
    step: FINE_STEP,
    progress: [0.5, 1],
  };
  return { area, stages: [coarse, trimmedStage, tukeyStage] };
}

/** The region without what is masked; undefined for a whole surface. */
function uncovered(surface: Surface, region: Uint8Array | undefined): Uint8Array | undefined {
  if (surface.masked === undefined) return region;
  return withoutMasked(surface, region ?? new Uint8Array(vertexCount(surface.mesh)).fill(1));
}
