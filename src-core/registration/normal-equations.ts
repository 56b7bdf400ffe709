import type { Vector3 } from "../geometry/vector";
import type { PointPairs } from "./point-pairs";
import type { Robustness } from "./robust-weights";

/**
 * The linearised point-to-plane fit (Chen & Medioni 1992, Image Vis Comput 10:145; Low 2004): a small turn ω about
 * `centre` and a small shift t change the residual of a pair with point p and direction n by
 * ((p − centre) × n)·ω + n·t. Six unknowns in the order ω (radians), t (mm).
 */
export interface NormalEquations {
  /** JᵀWJ, 6×6, row by row. */
  readonly matrix: Float64Array;
  /** −JᵀWr */
  readonly right: Float64Array;
}

/** Sums up the weighted equations of all pairs. */
export function normalEquations(
  pairs: PointPairs,
  centre: Vector3,
  weight: (residual: number) => number,
): NormalEquations {
  const matrix = new Float64Array(36);
  const right = new Float64Array(6);
  const row = new Float64Array(6);
  for (let i = 0; i < pairs.count; i++) {
    const r = pairs.residuals[i]!;
    const w = weight(r);
    if (w === 0) continue;
    const x = pairs.points[3 * i]! - centre[0];
    const y = pairs.points[3 * i + 1]! - centre[1];
    const z = pairs.points[3 * i + 2]! - centre[2];
    const nx = pairs.normals[3 * i]!;
    const ny = pairs.normals[3 * i + 1]!;
    const nz = pairs.normals[3 * i + 2]!;
    row[0] = y * nz - z * ny;
    row[1] = z * nx - x * nz;
    row[2] = x * ny - y * nx;
    row[3] = nx;
    row[4] = ny;
    row[5] = nz;
    for (let k = 0; k < 6; k++) {
      const wk = w * row[k]!;
      right[k]! -= wk * r;
      for (let m = k; m < 6; m++) matrix[6 * k + m]! += wk * row[m]!;
    }
  }
  for (let k = 1; k < 6; k++) for (let m = 0; m < k; m++) matrix[6 * k + m] = matrix[6 * m + k]!;
  return { matrix, right };
}

/** Solves the equations by Cholesky's factorisation; null if some motion is not held by any pair. */
export function solve({ matrix, right }: NormalEquations): Float64Array | null {
  const lower = factor(matrix);
  return lower === null ? null : substitute(lower, right);
}

/** The inverse of a symmetric positive definite 6×6 matrix, or null. */
export function inverse(matrix: Float64Array): Float64Array | null {
  const lower = factor(matrix);
  if (lower === null) return null;
  const out = new Float64Array(36);
  for (let k = 0; k < 6; k++) {
    const unit = new Float64Array(6);
    unit[k] = 1;
    out.set(substitute(lower, unit), 6 * k);
  }
  return out;
}

function factor(matrix: Float64Array): Float64Array | null {
  const lower = new Float64Array(36);
  for (let row = 0; row < 6; row++) {
    for (let column = 0; column <= row; column++) {
      let sum = matrix[6 * row + column]!;
      for (let k = 0; k < column; k++) sum -= lower[6 * row + k]! * lower[6 * column + k]!;
      if (row === column) {
        if (!(sum > 1e-12 * matrix[7 * row]!)) return null;
        lower[7 * row] = Math.sqrt(sum);
      } else {
        lower[6 * row + column] = sum / lower[7 * column]!;
      }
    }
  }
  return lower;
}

function substitute(lower: Float64Array, right: Float64Array): Float64Array {
  const x = right.slice();
  for (let row = 0; row < 6; row++) {
    for (let k = 0; k < row; k++) x[row]! -= lower[6 * row + k]! * x[k]!;
    x[row]! /= lower[7 * row]!;
  }
  for (let row = 5; row >= 0; row--) {
    for (let k = row + 1; k < 6; k++) x[row]! -= lower[6 * k + row]! * x[k]!;
    x[row]! /= lower[7 * row]!;
  }
  return x;
}

/** The influence of a robust fit summed over its pairs: what its covariance needs. */
export function influenceSums(pairs: PointPairs, robustness: Robustness): { squares: number; slopes: number } {
  let squares = 0;
  let slopes = 0;
  for (let i = 0; i < pairs.count; i++) {
    const r = pairs.residuals[i]!;
    const influence = robustness.weight(r) * r;
    squares += influence * influence;
    slopes += robustness.influenceSlope(r);
  }
  return { squares, slopes };
}
