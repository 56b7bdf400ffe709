import { apply, invert, type RigidTransform, rotate } from "../geometry/rigid-transform";
import { scale, subtract, type Vector3 } from "../geometry/vector";
import type { CarriedError, Carrier } from "./carried-error";

/** A point on the other scan and what its carrying adds to its error. */
export interface CarriedPoint {
  readonly at: Vector3;
  readonly error: CarriedError;
}

/** The point carried along a registration. Its error there: ω × (q − centre) + t, by first order. */
export function carried(p: Vector3, carrier: Carrier): CarriedPoint {
  const at = apply(carrier.transform, p);
  const jacobian = movement(at, carrier);
  return {
    at,
    error: {
      covariance: spread(jacobian, carrier),
      rotation: carrier.transform.rotation,
      origin: p,
      shares: [{ carrier, jacobian }],
    },
  };
}

/** The point carried against a registration, from the scan it leads to back to the scan it was made on. */
export function carriedBack(q: Vector3, carrier: Carrier): CarriedPoint {
  const back = invert(carrier.transform);
  const there = movement(q, carrier);
  // Where the registration leads too far, the way back falls short: −Rᵀ·J, column by column.
  const columns = [0, 1, 2, 3, 4, 5].map((k) => scale(rotate(back, [there[k]!, there[6 + k]!, there[12 + k]!]), -1));
  const jacobian = [0, 1, 2].flatMap((row) => columns.map((column) => column[row]!));
  return {
    at: apply(back, q),
    error: {
      covariance: spread(jacobian, carrier),
      rotation: back.rotation,
      origin: q,
      shares: [{ carrier, jacobian }],
    },
  };
}

/**
 * A point between both halves, carried by a motion midway between theirs; its error is half that of each (the same to
 * first order).
 * @param between from the scan the point was made on to the other
 */
export function midway(a: CarriedPoint, b: CarriedPoint, between: RigidTransform): CarriedPoint {
  return {
    at: apply(between, a.error.origin),
    error: {
      covariance: a.error.covariance.map((value, i) => (value + b.error.covariance[i]!) / 4),
      rotation: between.rotation,
      origin: a.error.origin,
      shares: [...a.error.shares, ...b.error.shares].map(({ carrier, jacobian }) => ({
        carrier,
        jacobian: jacobian.map((value) => value / 2),
      })),
    },
  };
}

/** [−(q − centre)×, 1]: how a point follows the errors of a registration, 3×6 row by row. */
function movement(q: Vector3, { centre }: Carrier): number[] {
  const [x, y, z] = subtract(q, centre);
  return [0, z, -y, 1, 0, 0, -z, 0, x, 0, 1, 0, y, -x, 0, 0, 0, 1];
}

/** J·C·Jᵀ, 3×3 row by row. */
function spread(jacobian: readonly number[], { covariance }: Carrier): number[] {
  const entry = (a: number, b: number): number => {
    let sum = 0;
    for (let i = 0; i < 6; i++)
      for (let j = 0; j < 6; j++) sum += jacobian[6 * a + i]! * covariance[6 * i + j]! * jacobian[6 * b + j]!;
    return sum;
  };
  return [0, 1, 2].flatMap((a) => [0, 1, 2].map((b) => entry(a, b)));
}
