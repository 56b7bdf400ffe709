import type { Carrier } from "../arch/carried-error";
import type { Place } from "../arch/landmark";
import { IDENTITY, invert, rotate } from "../geometry/rigid-transform";
import { addScaled, dot, type Vector3 } from "../geometry/vector";
import { effectiveDegreesOfFreedom } from "../statistics/quantiles";
import type { WidthLevel } from "./readings-document";
import { type Assumptions, pointFigure, RAPHE_POINT } from "./uncertainty";
import type { MeasuredPoint } from "./width";

/** A value on one scan and how it follows each landmark, the frame's included. */
export interface ValueOnScan {
  readonly value: number;
  /** Derivatives by the point, file axes of its scan. */
  readonly slopes: ReadonlyMap<MeasuredPoint, Vector3>;
  /** Variance by the scanner. */
  readonly scanner: number;
}

/** Values on one or both scans, each with its sign in what is read. */
export type Signed = readonly (readonly [sign: 1 | -1, on: ValueOnScan])[];

/** The widths' level whose point figure a place has. */
function levelOf(place: Place): WidthLevel | undefined {
  if (place === "palatal-gingival" || place === "central-fossa" || place === "mesiopalatal-cusp-tip") return place;
  return place.endsWith("cusp-tip") ? "cusp-tip" : undefined;
}

/** The part of the hand: every placed point once, with all that follows it on either scan. */
export function pointError(on: Signed, assumptions: Assumptions): { u: number; degreesOfFreedom: number } {
  const spots = new Map<string, { place: Place; slope: Vector3 }>();
  on.forEach(([sign, { slopes }], scan) => {
    for (const [point, slope] of slopes) {
      const { carried, place, tooth } = point;
      // A point placed at e is carried to R·e, so that its slope is seen from where it was placed.
      const own = carried === undefined ? slope : rotate(invert({ ...IDENTITY, rotation: carried.rotation }), slope);
      const placedOn = carried === undefined && !isSource(point, on[1 - scan]?.[1].slopes) ? String(scan) : "carried";
      const key = [placedOn, tooth, place, ...(carried?.origin ?? point.at)].join(" ");
      const sum = spots.get(key)?.slope ?? [0, 0, 0];
      spots.set(key, { place, slope: addScaled(sum, own, sign) });
    }
  });
  // By degrees of freedom: points of one figure err by the same repeats.
  const variances = new Map<number, number>();
  for (const { place, slope } of spots.values()) {
    const raphe = place === "median-raphe";
    const { pointWidth, degreesOfFreedom } = pointFigure(assumptions, levelOf(place));
    // A width's two points carry its point figure: each half of its square.
    const square = raphe ? RAPHE_POINT * RAPHE_POINT : (pointWidth * pointWidth) / 2;
    const known = raphe ? Number.POSITIVE_INFINITY : degreesOfFreedom;
    variances.set(known, (variances.get(known) ?? 0) + square * dot(slope, slope));
  }
  const parts = [...variances].map(([degreesOfFreedom, variance]) => ({ u: Math.sqrt(variance), degreesOfFreedom }));
  return {
    u: Math.sqrt([...variances.values()].reduce((sum, variance) => sum + variance, 0)),
    degreesOfFreedom: effectiveDegreesOfFreedom(parts),
  };
}

/** Whether a placed point is the one that a point of the other scan was carried from. */
function isSource({ tooth, place, at }: MeasuredPoint, others: ValueOnScan["slopes"] | undefined): boolean {
  return [...(others?.keys() ?? [])].some(
    (other) =>
      other.tooth === tooth &&
      other.place === place &&
      other.carried?.origin.every((value, axis) => value === at[axis]) === true,
  );
}

/** Variance by the registrations: each one's six errors once, with all points that it carried. */
export function registrationVariance(on: Signed): number {
  const byCarrier = new Map<Carrier, number[]>();
  for (const [sign, { slopes }] of on) {
    for (const [point, slope] of slopes) {
      for (const { carrier, jacobian } of point.carried?.shares ?? []) {
        const sum = byCarrier.get(carrier) ?? [0, 0, 0, 0, 0, 0];
        for (let k = 0; k < 6; k++)
          sum[k]! += sign * (slope[0] * jacobian[k]! + slope[1] * jacobian[6 + k]! + slope[2] * jacobian[12 + k]!);
        byCarrier.set(carrier, sum);
      }
    }
  }
  let variance = 0;
  for (const [{ covariance }, g] of byCarrier)
    for (let i = 0; i < 6; i++) for (let j = 0; j < 6; j++) variance += g[i]! * covariance[6 * i + j]! * g[j]!;
  return variance;
}
