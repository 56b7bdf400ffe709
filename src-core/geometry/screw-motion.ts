import { cos, DEGREES, sin } from "./real";
import { type RigidTransform, rotationVector } from "./rigid-transform";
import { add, addScaled, cross, dot, length, scale, subtract, type Vector3 } from "./vector";

/** A rigid motion as a turn about an axis together with a shift along it. */
export interface ScrewMotion {
  /** Degrees, 0 to 180. */
  readonly angle: number;
  /** Unit direction of the axis, right-handed with the angle; of the shift itself if nothing turns. */
  readonly direction: Vector3;
  /** Shift along the direction, mm. */
  readonly shift: number;
  /** The point of the axis nearest to the origin, mm; null if nothing turns. */
  readonly point: Vector3 | null;
}

/**
 * The screw axis of a rigid motion (Spoor & Veldpaus 1980, J Biomech 13:391; Woltring 1985, J Biomech 18:379).
 * Below about five times the standard uncertainty of the angle, direction and place of the axis mean nothing: the
 * caller knows that uncertainty and withholds them there.
 */
export function screwMotion(t: RigidTransform): ScrewMotion {
  const vector = rotationVector(t);
  const angle = length(vector);
  if (angle === 0) {
    const shift = length(t.translation);
    return {
      angle: 0,
      direction: shift === 0 ? [0, 0, 1] : scale(t.translation, 1 / shift),
      shift,
      point: null,
    };
  }
  const direction = scale(vector, 1 / angle);
  const shift = dot(direction, t.translation);
  const across = addScaled(t.translation, direction, -shift);
  const cotangent = cos(angle / 2) / sin(angle / 2);
  const point = scale(add(across, scale(cross(direction, across), cotangent)), 0.5);
  // Rounding may leave a little along the axis; the nearest point to the origin has none.
  return { angle: angle * DEGREES, direction, shift, point: subtract(point, scale(direction, dot(direction, point))) };
}
