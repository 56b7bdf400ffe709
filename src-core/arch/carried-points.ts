import { apply, invert, type RigidTransform, rotate } from "../geometry/rigid-transform";
import { middle, subtract, type Vector3 } from "../geometry/vector";
import type { CarriedError } from "./landmarks-in-use";

/** A registration that points are carried by. */
export interface Carrier {
  /** From the scan it was registered on to the other, mm. */
  readonly transform: RigidTransform;
  /** 6×6 row by row: rotation vector (radians), shift (mm) at `centre`, axes of the other scan. */
  readonly covariance: Float64Array;
  readonly centre: Vector3;
}

/** A point on the other scan and what its carrying adds to its error. */
export interface CarriedPoint {
  readonly at: Vector3;
  readonly error: CarriedError;
}

/** The point carried along a registration. Its error there: ω × (q − centre) + t, by first order. */
export function carried(p: Vector3, carrier: Carrier): CarriedPoint {
  const at = apply(carrier.transform, p);
  return { at, error: { covariance: pointCovariance(at, carrier), rotation: carrier.transform.rotation } };
}

/** The point carried against a registration, from the scan it leads to back to the scan it was made on. */
export function carriedBack(q: Vector3, carrier: Carrier): CarriedPoint {
  const back = invert(carrier.transform);
  const there = pointCovariance(q, carrier);
  // Rᵀ·C·R: columns of C turned back, then its rows.
  const column = (m: readonly number[], j: number): Vector3 => [m[j]!, m[3 + j]!, m[6 + j]!];
  const half = transposed([0, 1, 2].flatMap((j) => [...rotate(back, column(there, j))]));
  const full = [0, 1, 2].flatMap((i) => [...rotate(back, [half[3 * i]!, half[3 * i + 1]!, half[3 * i + 2]!])]);
  return { at: apply(back, q), error: { covariance: full, rotation: back.rotation } };
}

/** A point of the median plane: midway between where both halves carry it. */
export function midway(a: CarriedPoint, b: CarriedPoint): CarriedPoint {
  return {
    at: middle(a.at, b.at),
    error: {
      covariance: a.error.covariance.map((value, i) => (value + b.error.covariance[i]!) / 4),
      rotation: a.error.rotation,
    },
  };
}

const transposed = (m: readonly number[]): number[] => [0, 3, 6, 1, 4, 7, 2, 5, 8].map((i) => m[i]!);

/** J·C·Jᵀ with J = [−(q − centre)×, 1], 3×3 row by row. */
function pointCovariance(q: Vector3, { covariance, centre }: Carrier): number[] {
  const [x, y, z] = subtract(q, centre);
  const jacobian = [
    [0, z, -y, 1, 0, 0],
    [-z, 0, x, 0, 1, 0],
    [y, -x, 0, 0, 0, 1],
  ];
  return jacobian.flatMap((a) =>
    jacobian.map((b) => {
      let sum = 0;
      for (let i = 0; i < 6; i++) for (let j = 0; j < 6; j++) sum += a[i]! * covariance[6 * i + j]! * b[j]!;
      return sum;
    }),
  );
}
