import { RapheError } from "../errors";
import { principalAxes } from "../geometry/principal-axes";
import { apply, compose, fromFrame, invert, type RigidTransform } from "../geometry/rigid-transform";
import { distance, dot, scale, type Vector3 } from "../geometry/vector";
import { type JobControl, partOf, UNWATCHED } from "../job-control";
import { sampleSurface } from "../mesh/sample-surface";
import { findPairs, movingPoints, type PairRule, PointPairs } from "./point-pairs";
import type { RegistrationSurface } from "./registration-surface";
import type { RigidFit } from "./rigid-fit";
import { rigidIcp } from "./rigid-icp";

const SAMPLES = 2000;
/** Points count as agreeing up to this distance along the normal, mm, from a partner near by that faces alike. */
const CLOSE = 0.3;
const CLOSE_BY: PairRule = { maxDistance: 1, leastAgreement: Math.SQRT1_2, fixedRegion: undefined };

/** A first position found without landmarks. */
export interface CoarsePose {
  /** Moving → fixed, mm: a start for `rigidIcp`. */
  readonly transform: RigidTransform;
  /** How much more of the arch agrees than in the second-best of the tried positions: a ratio above 1; Infinity if none. */
  readonly lead: number;
  /** Share of the moving arch that lies close to the other, 0 to 1. */
  readonly agreement: number;
}

/**
 * Lays one arch on another without landmarks, whatever their poses: both are put into their principal axes (the least
 * spread stands upright on the arch, its outer side known from the mean normal), turned by four quarter turns, since
 * width and depth of an arch may be alike, and each is refined by a short robust ICP. The position in which the largest
 * share of the moving arch lies close to the other wins: of an arch whose halves came apart that is about half of it,
 * so medians of the distance do not tell.
 * @throws RapheError `no-region-fits` where none of the four comes to rest, `cancelled`
 */
export function coarsePose(
  moving: RegistrationSurface,
  fixed: RegistrationSurface,
  job: JobControl = UNWATCHED,
): CoarsePose {
  const from = axesOf(moving);
  const to = invert(axesOf(fixed));
  const tried: { fit: RigidFit; agreeing: number }[] = [];
  const sample = movingPoints(moving, sampleSurface(moving.mesh, SAMPLES, 2));
  const pairs = new PointPairs(sample.count);
  for (let quarter = 0; quarter < 4; quarter++) {
    const start = compose(to, compose(QUARTER_TURNS[quarter]!, from));
    try {
      const fit = rigidIcp({
        moving,
        fixed,
        start,
        robustness: "tukey",
        name: "The arch",
        samples: SAMPLES,
        job: partOf(job, quarter / 4, (quarter + 1) / 4),
      });
      findPairs(sample, fit.transform, fixed, CLOSE_BY, job, pairs);
      const close = pairs.residuals.subarray(0, pairs.count).filter((residual) => Math.abs(residual) <= CLOSE);
      tried.push({ fit, agreeing: close.length });
    } catch (thrown) {
      if (thrown instanceof RapheError && thrown.code === "cancelled") throw thrown;
    }
  }
  tried.sort((a, b) => b.agreeing - a.agreeing);
  const [best, ...others] = tried;
  if (best === undefined) {
    throw new RapheError({
      code: "no-region-fits",
      subject: "The arch",
      problem: "the two scans cannot be laid on each other without landmarks",
      remedy: "Place the cusp tips of the canines and the first molars on both scans",
    });
  }
  const { transform } = best.fit;
  // Several starts may come to the same rest, and of halves that came apart either may be met: both serve as a start.
  const rival = others.find(({ fit }) =>
    PROBES.some((p) => isElsewhere(apply(invert(from), p), transform, fit.transform)),
  );
  return {
    transform,
    lead: rival === undefined ? Infinity : best.agreeing / Math.max(1, rival.agreeing),
    agreement: best.agreeing / sample.count,
  };
}

/** Positions that differ by less are one, or those of two halves that came apart, mm; a quarter turn differs by more. */
const ELSEWHERE = 12;
/** Points of an arch's own axes by which positions are compared, mm. */
const PROBES: readonly Vector3[] = [
  [20, 0, 0],
  [-20, 0, 0],
  [0, 20, 0],
];

const isElsewhere = (p: Vector3, a: RigidTransform, b: RigidTransform): boolean =>
  distance(apply(a, p), apply(b, p)) > ELSEWHERE;

const QUARTER_TURNS: readonly RigidTransform[] = [
  { rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1], translation: [0, 0, 0] },
  { rotation: [0, -1, 0, 1, 0, 0, 0, 0, 1], translation: [0, 0, 0] },
  { rotation: [-1, 0, 0, 0, -1, 0, 0, 0, 1], translation: [0, 0, 0] },
  { rotation: [0, 1, 0, -1, 0, 0, 0, 0, 1], translation: [0, 0, 0] },
];

/** File coordinates → the surface's own axes: z where the surface faces, across its flattest direction. */
function axesOf(surface: RegistrationSurface): RigidTransform {
  const points = movingPoints(surface, sampleSurface(surface.mesh, SAMPLES, 1));
  const list: Vector3[] = [];
  let facing: Vector3 = [0, 0, 0];
  for (let i = 0; i < points.count; i++) {
    list.push([points.positions[3 * i]!, points.positions[3 * i + 1]!, points.positions[3 * i + 2]!]);
    facing = [
      facing[0] + points.normals[3 * i]!,
      facing[1] + points.normals[3 * i + 1]!,
      facing[2] + points.normals[3 * i + 2]!,
    ];
  }
  const { centre, axes } = principalAxes(list);
  const [long, short, upright] = axes;
  // Turning the second axis round turns the third with it, and the axes stay right-handed.
  return fromFrame(centre, long, dot(upright, facing) < 0 ? scale(short, -1) : short);
}
