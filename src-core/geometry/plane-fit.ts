import { RapheError } from "../errors";
import { principalAxes } from "./principal-axes";
import type { Vector3 } from "./vector";

/** A plane through `centre` (mm) with unit `normal`. */
export interface PlaneFit {
  readonly centre: Vector3;
  /** Unit; the plane has two, the caller turns it to the side that is meant. */
  readonly normal: Vector3;
  /** Root mean square distance of the points from the plane, mm. */
  readonly rms: number;
  /** Root mean square spread of the points in the plane, longer first, mm: the second near 0 means they lie on a line. */
  readonly spread: readonly [number, number];
}

/**
 * The plane with the smallest sum of squared orthogonal distances: through the centroid, normal to the direction of
 * least spread (Shakarji 1998, J Res NIST 103:633-641).
 * @param points at least three, mm
 * @throws RapheError `too-few-points`; `fit-unstable` if the points lie on one line
 */
export function fitPlane(points: readonly Vector3[]): PlaneFit {
  if (points.length < 3) {
    throw new RapheError({
      code: "too-few-points",
      subject: "",
      problem: `${points.length} points do not fix a plane, three are needed`,
      remedy: "Place the missing points",
    });
  }
  const { centre, axes, spread } = principalAxes(points);
  if (!(spread[1] > 1e-9 * spread[0])) {
    throw new RapheError({
      code: "fit-unstable",
      subject: "",
      problem: "the points lie on one line, so the plane through them is free to turn",
      remedy: "Add a point away from that line",
    });
  }
  return { centre, normal: axes[2], rms: spread[2], spread: [spread[0], spread[1]] };
}
