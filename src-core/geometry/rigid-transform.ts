import { atan2, cos, sin } from "./real";
import { addScaled, cross, dot, length, scale, type Vector3 } from "./vector";

/**
 * A rigid motion p ↦ R·p + t from one frame to another (mm).
 * `rotation` holds R row by row (9 numbers, determinant +1), `translation` holds t.
 */
export interface RigidTransform {
  readonly rotation: readonly [number, number, number, number, number, number, number, number, number];
  readonly translation: Vector3;
}

export const IDENTITY: RigidTransform = { rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1], translation: [0, 0, 0] };

/** R·v: a direction carried by the motion. */
export function rotate(t: RigidTransform, v: Vector3): Vector3 {
  const r = t.rotation;
  return [
    r[0] * v[0] + r[1] * v[1] + r[2] * v[2],
    r[3] * v[0] + r[4] * v[1] + r[5] * v[2],
    r[6] * v[0] + r[7] * v[1] + r[8] * v[2],
  ];
}

/** R·p + t: a point carried by the motion. */
export function apply(t: RigidTransform, p: Vector3): Vector3 {
  return addScaled(t.translation, rotate(t, p), 1);
}

/** The motion `second` after `first`. */
export function compose(second: RigidTransform, first: RigidTransform): RigidTransform {
  const a = second.rotation;
  const b = first.rotation;
  const at = (row: number, column: number) =>
    a[row * 3]! * b[column]! + a[row * 3 + 1]! * b[3 + column]! + a[row * 3 + 2]! * b[6 + column]!;
  return {
    rotation: [at(0, 0), at(0, 1), at(0, 2), at(1, 0), at(1, 1), at(1, 2), at(2, 0), at(2, 1), at(2, 2)],
    translation: apply(second, first.translation),
  };
}

/** The motion back. */
export function invert(t: RigidTransform): RigidTransform {
  const r = t.rotation;
  const back: RigidTransform = {
    rotation: [r[0], r[3], r[6], r[1], r[4], r[7], r[2], r[5], r[8]],
    translation: [0, 0, 0],
  };
  return { ...back, translation: scale(rotate(back, t.translation), -1) };
}

/**
 * The motion that turns by the rotation vector (axis × angle, radians) about `centre`, then shifts by `shift` (mm).
 * Rodrigues' formula with the versine taken as 2·sin²(θ/2), so that small angles keep their digits.
 */
export function fromRotationVector(
  vector: Vector3,
  shift: Vector3 = [0, 0, 0],
  centre: Vector3 = [0, 0, 0],
): RigidTransform {
  const angle = length(vector);
  const axis: Vector3 = angle === 0 ? [1, 0, 0] : scale(vector, 1 / angle);
  const s = sin(angle);
  const c = cos(angle);
  const half = sin(angle / 2);
  const v = 2 * half * half;
  const [x, y, z] = axis;
  const turned: RigidTransform = {
    rotation: [
      c + x * x * v,
      x * y * v - z * s,
      x * z * v + y * s,
      y * x * v + z * s,
      c + y * y * v,
      y * z * v - x * s,
      z * x * v - y * s,
      z * y * v + x * s,
      c + z * z * v,
    ],
    translation: [0, 0, 0],
  };
  const moved = rotate(turned, centre);
  return {
    rotation: turned.rotation,
    translation: [centre[0] - moved[0] + shift[0], centre[1] - moved[1] + shift[1], centre[2] - moved[2] + shift[2]],
  };
}

/**
 * The rotation vector (axis × angle, radians, angle in [0, π]) of a motion.
 * The angle comes from atan2(|v|, (trace − 1)/2), which unlike acos keeps its digits near 0; near π the axis is taken
 * from the symmetric part (Spoor & Veldpaus 1980, J Biomech 13:391).
 */
export function rotationVector(t: RigidTransform): Vector3 {
  const r = t.rotation;
  const v: Vector3 = [(r[7] - r[5]) / 2, (r[2] - r[6]) / 2, (r[3] - r[1]) / 2];
  const s = length(v);
  const c = (r[0] + r[4] + r[8] - 1) / 2;
  const angle = atan2(s, c);
  if (s > 1e-6) return scale(v, angle / s);
  if (c > 0) return v; // sin θ = θ to double precision here
  // Near a half turn: R + 1 = 2·a·aᵀ, so the longest column gives the axis, up to its sign.
  const columns: Vector3[] = [
    [r[0] + 1, r[3], r[6]],
    [r[1], r[4] + 1, r[7]],
    [r[2], r[5], r[8] + 1],
  ];
  const longest = columns.reduce((a, b) => (dot(b, b) > dot(a, a) ? b : a));
  const axis = scale(longest, 1 / length(longest));
  return scale(axis, dot(axis, v) < 0 ? -angle : angle);
}

/** The rotation whose rows are the given orthonormal, right-handed axes: it takes world coordinates to frame coordinates. */
export function fromFrame(origin: Vector3, xAxis: Vector3, yAxis: Vector3): RigidTransform {
  const zAxis = cross(xAxis, yAxis);
  const turn: RigidTransform = { rotation: [...xAxis, ...yAxis, ...zAxis], translation: [0, 0, 0] };
  return { rotation: turn.rotation, translation: scale(rotate(turn, origin), -1) };
}
