import { RapheError } from "../errors";
import { principalAxes } from "./principal-axes";
import { dot, scale, subtract, type Vector3 } from "./vector";

/** A line through `centre` (mm) along the unit `direction`. */
export interface LineFit {
  readonly centre: Vector3;
  /** Unit, pointing from the first of the given points towards the last. */
  readonly direction: Vector3;
  /** Root mean square distance of the points from the line, mm. */
  readonly rms: number;
  /** Root mean square spread of the points along the line, mm. */
  readonly spread: number;
}

/**
 * The line with the smallest sum of squared orthogonal distances: through the centroid along the direction of largest
 * spread (Shakarji 1998, J Res NIST 103:633-641).
 * @param points at least two, mm
 * @throws RapheError `too-few-points`; `fit-unstable` if all points coincide
 */
export function fitLine(points: readonly Vector3[]): LineFit {
  if (points.length < 2) {
    throw new RapheError({
      code: "too-few-points",
      subject: "",
      problem: `${points.length} points do not fix a line, two are needed`,
      remedy: "Place the missing points",
    });
  }
  const { centre, axes, spread } = principalAxes(points);
  if (!(spread[0] > 0)) {
    throw new RapheError({
      code: "fit-unstable",
      subject: "",
      problem: "the points coincide, so the line through them is free to turn",
      remedy: "Place the points apart from each other",
    });
  }
  const along = dot(axes[0], subtract(points[points.length - 1]!, points[0]!));
  return {
    centre,
    direction: along < 0 ? scale(axes[0], -1) : axes[0],
    rms: Math.sqrt(spread[1] * spread[1] + spread[2] * spread[2]),
    spread: spread[0],
  };
}
