import { tan } from "./real";
import { fromRotationVector, type RigidTransform, rotationVector } from "./rigid-transform";
import { addScaled, cross, length, scale } from "./vector";

/**
 * The motion that, made twice, gives the motion: half the turn about the same axis, half the shift along it.
 * With R = exp(ω) and half of it H = exp(ω/2), the shift h of the half solves (1 + H)·h = t; in closed form
 * h = (t − tan(θ/4)·n × t)/2 for the axis n and the angle θ (below a half turn).
 */
export function halfMotion(motion: RigidTransform): RigidTransform {
  const vector = rotationVector(motion);
  const angle = length(vector);
  const { translation } = motion;
  const shift =
    angle === 0 ? translation : addScaled(translation, cross(scale(vector, 1 / angle), translation), -tan(angle / 4));
  return fromRotationVector(scale(vector, 0.5), scale(shift, 0.5));
}
