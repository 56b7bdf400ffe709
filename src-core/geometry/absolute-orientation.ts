import { Matrix, SingularValueDecomposition } from "ml-matrix";
import { RapheError } from "../errors";
import type { RigidTransform } from "./rigid-transform";
import type { Vector3 } from "./vector";

/** A fitted motion q = scale·R·p + t in the plane or in space. */
export interface PointSetFit {
  /** R row by row, d×d, determinant +1. */
  readonly rotation: readonly (readonly number[])[];
  readonly translation: readonly number[];
  /** 1 for a rigid fit. */
  readonly scale: number;
  /** Weighted sum of the squared distances left over (mm²). */
  readonly squaredError: number;
  /** Singular values of the weighted covariance of the two sets, descending (mm²). */
  readonly singularValues: readonly number[];
}

/**
 * The rigid motion that takes `from` to the paired points `to` (mm) with the smallest weighted sum of squared
 * distances. Never a mirror image, never a change of size.
 * Umeyama 1991 (IEEE PAMI 13:376-380) with the determinant correction; the same as Kabsch 1978 (Acta Cryst A34:827).
 * @param weights one positive number per pair; all equal if left out
 * @throws RapheError `too-few-points` for fewer than three pairs, `fit-unstable` if they lie on one line
 */
export function absoluteOrientation(
  from: readonly Vector3[],
  to: readonly Vector3[],
  weights?: readonly number[],
): RigidTransform {
  const fit = fitPointSets(from, to, { withScale: false, ...(weights === undefined ? {} : { weights }) });
  const [a, b, c] = fit.rotation as [number[], number[], number[]];
  return {
    rotation: [a[0]!, a[1]!, a[2]!, b[0]!, b[1]!, b[2]!, c[0]!, c[1]!, c[2]!],
    translation: fit.translation as unknown as Vector3,
  };
}

/**
 * As `absoluteOrientation`, in two or three dimensions and, if asked, with one common scale (a similarity).
 * Measuring never uses the scale; it serves the check of units and of the published examples.
 * @param from, to paired points, each a list of d coordinates (d = 2 or 3)
 * @throws RapheError `too-few-points` for fewer than d pairs, `fit-unstable` if the rotation is not determined
 */
export function fitPointSets(
  from: readonly (readonly number[])[],
  to: readonly (readonly number[])[],
  options: { readonly withScale: boolean; readonly weights?: readonly number[] },
): PointSetFit {
  const dimension = from[0]?.length ?? 3;
  const count = Math.min(from.length, to.length);
  if (count < dimension || from.length !== to.length) {
    throw new RapheError({
      code: "too-few-points",
      subject: "",
      problem: `${count} paired points do not fix a position, ${dimension} are needed`,
      remedy: "Place the missing points on both scans",
    });
  }
  const weights = options.weights ?? from.map(() => 1);
  const total = weights.reduce((sum, w) => sum + w, 0);
  const fromCentre = weightedMean(from, weights, total, dimension);
  const toCentre = weightedMean(to, weights, total, dimension);

  const covariance = Matrix.zeros(dimension, dimension);
  let fromVariance = 0;
  for (let i = 0; i < count; i++) {
    const share = weights[i]! / total;
    for (let row = 0; row < dimension; row++) {
      const q = to[i]![row]! - toCentre[row]!;
      const p = from[i]![row]! - fromCentre[row]!;
      fromVariance += share * p * p;
      for (let column = 0; column < dimension; column++) {
        const product = share * q * (from[i]![column]! - fromCentre[column]!);
        covariance.set(row, column, covariance.get(row, column) + product);
      }
    }
  }
  const svd = new SingularValueDecomposition(covariance);
  const singularValues = svd.diagonal;
  // The rotation is determined by d − 1 directions; the last follows from the right-handedness.
  if (!(singularValues[dimension - 2]! > 1e-10 * singularValues[0]!)) {
    throw new RapheError({
      code: "fit-unstable",
      subject: "",
      problem: "the points lie on one line, so the turn about it is free",
      remedy: "Add a point away from that line on both scans",
    });
  }
  const u = svd.leftSingularVectors;
  const v = svd.rightSingularVectors;
  const mirrored = determinant(u) * determinant(v) < 0;
  const sign = (k: number) => (mirrored && k === dimension - 1 ? -1 : 1);
  const axes = Array.from({ length: dimension }, (_, k) => k);
  const rotation = axes.map((row) =>
    axes.map((column) => axes.reduce((sum, k) => sum + u.get(row, k) * sign(k) * v.get(column, k), 0)),
  );
  const trace = axes.reduce((sum, k) => sum + singularValues[k]! * sign(k), 0);
  const scale = options.withScale ? trace / fromVariance : 1;
  const translation = axes.map((row) =>
    axes.reduce((rest, k) => rest - scale * rotation[row]![k]! * fromCentre[k]!, toCentre[row]!),
  );

  let squaredError = 0;
  for (let i = 0; i < count; i++) {
    for (const row of axes) {
      const moved = axes.reduce((sum, k) => sum + scale * rotation[row]![k]! * from[i]![k]!, translation[row]!);
      squaredError += weights[i]! * (to[i]![row]! - moved) * (to[i]![row]! - moved);
    }
  }
  return { rotation, translation, scale, squaredError, singularValues };
}

function weightedMean(
  points: readonly (readonly number[])[],
  weights: readonly number[],
  total: number,
  dimension: number,
): number[] {
  const mean = new Array<number>(dimension).fill(0);
  for (let i = 0; i < points.length; i++) {
    for (let k = 0; k < dimension; k++) mean[k]! += (weights[i]! / total) * points[i]![k]!;
  }
  return mean;
}

/** Of a 2×2 or 3×3 matrix. */
function determinant(m: Matrix): number {
  const at = (row: number, column: number) => m.get(row, column);
  if (m.rows === 2) return at(0, 0) * at(1, 1) - at(0, 1) * at(1, 0);
  return (
    at(0, 0) * (at(1, 1) * at(2, 2) - at(1, 2) * at(2, 1)) -
    at(0, 1) * (at(1, 0) * at(2, 2) - at(1, 2) * at(2, 0)) +
    at(0, 2) * (at(1, 0) * at(2, 1) - at(1, 1) * at(2, 0))
  );
}
