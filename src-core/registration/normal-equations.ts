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
  const { points, normals, residuals, count } = pairs;
  const [cx, cy, cz] = centre;
  // The upper triangle and the right side as 27 numbers of their own: every pair of every step passes here.
  let m00 = 0,
    m01 = 0,
    m02 = 0,
    m03 = 0,
    m04 = 0,
    m05 = 0;
  let m11 = 0,
    m12 = 0,
    m13 = 0,
    m14 = 0,
    m15 = 0;
  let m22 = 0,
    m23 = 0,
    m24 = 0,
    m25 = 0;
  let m33 = 0,
    m34 = 0,
    m35 = 0;
  let m44 = 0,
    m45 = 0;
  let m55 = 0;
  let r0 = 0,
    r1 = 0,
    r2 = 0,
    r3 = 0,
    r4 = 0,
    r5 = 0;
  for (let i = 0; i < count; i++) {
    const r = residuals[i]!;
    const w = weight(r);
    if (w === 0) continue;
    const x = points[3 * i]! - cx;
    const y = points[3 * i + 1]! - cy;
    const z = points[3 * i + 2]! - cz;
    const nx = normals[3 * i]!;
    const ny = normals[3 * i + 1]!;
    const nz = normals[3 * i + 2]!;
    const a = y * nz - z * ny;
    const b = z * nx - x * nz;
    const c = x * ny - y * nx;
    const w0 = w * a;
    const w1 = w * b;
    const w2 = w * c;
    const w3 = w * nx;
    const w4 = w * ny;
    const w5 = w * nz;
    r0 -= w0 * r;
    r1 -= w1 * r;
    r2 -= w2 * r;
    r3 -= w3 * r;
    r4 -= w4 * r;
    r5 -= w5 * r;
    m00 += w0 * a;
    m01 += w0 * b;
    m02 += w0 * c;
    m03 += w0 * nx;
    m04 += w0 * ny;
    m05 += w0 * nz;
    m11 += w1 * b;
    m12 += w1 * c;
    m13 += w1 * nx;
    m14 += w1 * ny;
    m15 += w1 * nz;
    m22 += w2 * c;
    m23 += w2 * nx;
    m24 += w2 * ny;
    m25 += w2 * nz;
    m33 += w3 * nx;
    m34 += w3 * ny;
    m35 += w3 * nz;
    m44 += w4 * ny;
    m45 += w4 * nz;
    m55 += w5 * nz;
  }
  const right = Float64Array.of(r0, r1, r2, r3, r4, r5);
  const matrix = new Float64Array(36);
  matrix.set([m00, m01, m02, m03, m04, m05], 0);
  matrix.set([m11, m12, m13, m14, m15], 7);
  matrix.set([m22, m23, m24, m25], 14);
  matrix.set([m33, m34, m35], 21);
  matrix.set([m44, m45], 28);
  matrix.set([m55], 35);
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
