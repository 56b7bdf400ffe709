import { symmetricEigen } from "./symmetric-eigen";
import type { Vector3 } from "./vector";

/** Where a cloud of points lies and how it spreads. */
export interface PrincipalAxes {
  /** Centroid, mm. */
  readonly centre: Vector3;
  /** Unit directions by spread, largest first, right-handed. */
  readonly axes: readonly [Vector3, Vector3, Vector3];
  /** Root mean square distance from the centroid along each axis, mm. */
  readonly spread: readonly [number, number, number];
}

/**
 * Centroid and principal axes of points (mm): eigenvectors of their scatter matrix (Pearson 1901).
 * @param points at least one
 */
export function principalAxes(points: readonly Vector3[]): PrincipalAxes {
  const n = points.length;
  const centre: [number, number, number] = [0, 0, 0];
  for (const p of points) for (let k = 0; k < 3; k++) centre[k]! += p[k]! / n;
  const scatter = [
    [0, 0, 0],
    [0, 0, 0],
    [0, 0, 0],
  ];
  for (const p of points) {
    for (let row = 0; row < 3; row++) {
      for (let column = 0; column < 3; column++) {
        scatter[row]![column]! += ((p[row]! - centre[row]!) * (p[column]! - centre[column]!)) / n;
      }
    }
  }
  const { values, vectors } = symmetricEigen(scatter);
  const first = vectors[2] as unknown as Vector3;
  const second = vectors[1] as unknown as Vector3;
  const third: Vector3 = [
    first[1] * second[2] - first[2] * second[1],
    first[2] * second[0] - first[0] * second[2],
    first[0] * second[1] - first[1] * second[0],
  ];
  const spread = (k: number) => Math.sqrt(Math.max(0, values[k]!));
  return { centre, axes: [first, second, third], spread: [spread(2), spread(1), spread(0)] };
}
