import { inverse, Matrix } from "ml-matrix";
import { halfMotion } from "../geometry/half-motion";
import { compose, invert, type RigidTransform, rotate, rotationVector } from "../geometry/rigid-transform";
import { add, dot, length, subtract, type Vector3 } from "../geometry/vector";
import type { JobControl } from "../job-control";
import { closestPoint, newClosestPoint } from "../mesh/closest-point";
import type { RegistrationSurface } from "../registration/registration-surface";
import { fitStretchedPatch } from "../registration/stretched-patch";
import type { Carrier } from "./carried-error";
import { type CarriedPoint, carried, carriedBack, midway } from "./carried-points";

/** Both scans and the motions of both halves of the palate between them. */
export interface PalatalCarrying {
  /** The scan the point is on, and the one it is carried to. */
  readonly from: RegistrationSurface;
  readonly to: RegistrationSurface;
  /** File coordinates of the scan the point is on (mm) → its arch frame. */
  readonly toFrame: RigidTransform;
  readonly right: Carrier;
  readonly left: Carrier;
  /** 'along' where the halves were registered from the scan the point is on, 'against' where to it. */
  readonly way: "along" | "against";
  readonly job: JobControl;
}

/** How far a point between the halves may be from the surface to be dropped on it, mm. */
const FARTHEST_DROP = 1;
/**
 * How far the stretched tissue may have gone otherwise than midway (standard uncertainty), as a share of what the halves
 * moved against each other at the point: towards one of them, across that, and its turn as a share of theirs
 * (conventions, no source).
 */
const UNEVEN = 0.1;
const ASIDE = 0.05;
const TURNED = 0.05;
/** Least uncertainty of the turn, radians. */
const LEAST_TURN = 0.005;

/**
 * A point of papilla or raphe, which lie on the tissue stretched between the halves, on the other scan: midway between
 * both halves' motions (half of the motion from one to the other, so that there and back end where they began), brought by
 * the surface round it where that tells more (`fitStretchedPatch`), dropped on the surface. Its error is that of both
 * halves as far as they decide, and of the tissue.
 * Against the material points of both samples, either way: across the raphe 0.02 mm, along it 0.03 to 0.04 mm, to the head
 * 0.02 mm, all together 0.04 mm (root mean squares); on four other invented arches 0.03 to 0.07 mm, most of it along.
 * The ridge holds it across; along it only what little unevenness the raphe has and the rugae beside it, else midway, and
 * its covariance says so.
 * @returns the point; or its distance from the surface where that is more than 1 mm
 * @throws RapheError `cancelled`
 */
export function palatalPoint(point: Vector3, carrying: PalatalCarrying): CarriedPoint | { readonly away: number } {
  const { from, to, toFrame, right, left, way, job } = carrying;
  const motionOf = ({ transform }: Carrier) => (way === "along" ? transform : invert(transform));
  const motions = { right: motionOf(right), left: motionOf(left) };
  const opening = compose(invert(motions.right), motions.left);
  const between = compose(motions.right, halfMotion(opening));
  const by = way === "along" ? carried : carriedBack;
  const [a, b] = [by(point, right), by(point, left)];
  const start = midway(a, b, between);
  const tissue = tissueCovariance(subtract(b.at, a.at));
  const prior = tissue.map((row, i) => row.map((value, j) => value + start.error.covariance[3 * i + j]!));
  const patch = fitStretchedPatch({
    moving: from,
    fixed: to,
    point,
    across: rotate(invert(toFrame), [1, 0, 0]),
    ...motions,
    between,
    prior,
    turn: LEAST_TURN + TURNED * length(rotationVector(opening)),
    job,
  });
  const at = patch === null ? start.at : add(start.at, patch.shift);
  const found = newClosestPoint();
  closestPoint(to.tree, ...at, found);
  const away = Math.sqrt(found.squaredDistance);
  if (away > FARTHEST_DROP) return { away };
  const dropped: Vector3 = [found.x, found.y, found.z];
  return withTissue({ ...start, at: dropped }, between, prior, patch?.covariance ?? prior);
}

/** How far the tissue may lie from midway, 3×3 rows, mm². */
function tissueCovariance(apart: Vector3): number[][] {
  return apart.map((p, i) =>
    apart.map((q, j) => (UNEVEN * UNEVEN - ASIDE * ASIDE) * p * q + (i === j ? ASIDE * ASIDE * dot(apart, apart) : 0)),
  );
}

/**
 * The point with its error after the fit: the halves' errors as far as midway still counts, C·P⁻¹ for the covariances
 * before (P) and after (C); the rest is the point's own.
 */
function withTissue(
  { at, error }: CarriedPoint,
  transform: RigidTransform,
  before: readonly (readonly number[])[],
  after: readonly (readonly number[])[],
): CarriedPoint {
  const covariance = new Matrix(after.map((row) => [...row]));
  const kept = covariance.mmul(inverse(new Matrix(before.map((row) => [...row]))));
  const shares = error.shares.map(({ carrier, jacobian }) => ({
    carrier,
    jacobian: kept.mmul(Matrix.from1DArray(3, 6, jacobian)).to1DArray(),
  }));
  const halves = kept.mmul(Matrix.from1DArray(3, 3, error.covariance)).mmul(kept.transpose());
  const rest = Matrix.zeros(6, 6).setSubMatrix(Matrix.sub(covariance, halves), 3, 3);
  const own = { transform, covariance: Float64Array.from(rest.to1DArray()), centre: at };
  return {
    at,
    error: {
      ...error,
      covariance: covariance.to1DArray(),
      shares: [...shares, { carrier: own, jacobian: [0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 1] }],
    },
  };
}
