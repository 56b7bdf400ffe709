import type { RigidTransform } from "../geometry/rigid-transform";
import type { Vector3 } from "../geometry/vector";

/** A registration that points are carried by. */
export interface Carrier {
  /** From the scan it was registered on to the other, mm. */
  readonly transform: RigidTransform;
  /** 6×6 row by row: rotation vector (radians), shift (mm) at `centre`, axes of the other scan. */
  readonly covariance: Float64Array;
  readonly centre: Vector3;
}

/** What a carried point's uncertainty is computed from. */
export interface CarriedError {
  /** Covariance of its place by the registration, 3×3 row by row, mm², file axes of the scan it stands on. */
  readonly covariance: readonly number[];
  /** Rotation from the scan it was placed on to the scan it stands on, row by row. */
  readonly rotation: RigidTransform["rotation"];
  /** Where it was placed on the other scan, mm, that scan's file coordinates. */
  readonly origin: Vector3;
  /**
   * The registrations it was carried by and how its place follows their errors: 3×6 row by row. Points carried by one
   * registration err together.
   */
  readonly shares: readonly { readonly carrier: Carrier; readonly jacobian: readonly number[] }[];
}
