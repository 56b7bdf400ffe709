/** A point or direction in space: x, y, z in mm (points) or without unit (directions). */
export type Vector3 = readonly [x: number, y: number, z: number];

export const add = (a: Vector3, b: Vector3): Vector3 => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
export const subtract = (a: Vector3, b: Vector3): Vector3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const scale = (a: Vector3, s: number): Vector3 => [a[0] * s, a[1] * s, a[2] * s];
export const dot = (a: Vector3, b: Vector3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const length = (a: Vector3): number => Math.sqrt(dot(a, a));
export const distance = (a: Vector3, b: Vector3): number => length(subtract(a, b));

export const cross = (a: Vector3, b: Vector3): Vector3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

/** a + s·b. */
export const addScaled = (a: Vector3, b: Vector3, s: number): Vector3 => [
  a[0] + s * b[0],
  a[1] + s * b[1],
  a[2] + s * b[2],
];

/** The middle of two points. */
export const middle = (a: Vector3, b: Vector3): Vector3 => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2];

/** a at length 1; the zero vector stays zero. */
export const unit = (a: Vector3): Vector3 => {
  const l = length(a);
  return l === 0 ? a : scale(a, 1 / l);
};

/** Mean of a non-empty list of points. */
export const centroid = (points: readonly Vector3[]): Vector3 => {
  let sum: Vector3 = [0, 0, 0];
  for (const p of points) sum = add(sum, p);
  return scale(sum, 1 / points.length);
};
