import { CholeskyDecomposition, Matrix } from "ml-matrix";
import { chiSquare95 } from "./quantiles";

/** A straight line y = intercept + slope·x fitted to correlated values, with what is known of its error. */
export interface LineFit {
  readonly intercept: number;
  readonly slope: number;
  /** Covariance of (intercept, slope), already widened where `widened` is true. */
  readonly covariance: readonly [readonly [number, number], readonly [number, number]];
  /** Minimum of (y − Xβ)ᵀ V⁻¹ (y − Xβ). */
  readonly chiSquare: number;
  /** Points minus two. */
  readonly degreesOfFreedom: number;
  /** Intercept and slope as sums of the values: the factors of each value. */
  readonly estimator: readonly [readonly number[], readonly number[]];
  /** χ² lay above its 95 % point, so the covariance was multiplied by χ²/ν (Birge 1932, Phys Rev 40:207). */
  readonly widened: boolean;
}

/**
 * Generalised least squares (Aitken 1935): the line through (x, y) when the values' errors have covariance V.
 * @param x positions, at least two of them different
 * @param y values, as many as x
 * @param covariance V, positive definite, y's unit squared, n × n
 * @returns the fit; with two points χ² is 0 and nothing is widened
 * @throws RangeError if there are fewer than two positions or V is not positive definite
 */
export function fitCorrelatedLine(
  x: readonly number[],
  y: readonly number[],
  covariance: readonly (readonly number[])[],
): LineFit {
  const n = x.length;
  if (n < 2 || x.every((value) => value === x[0])) throw new RangeError("a line needs two different positions");
  const v = new CholeskyDecomposition(new Matrix(covariance.map((row) => [...row])));
  if (!v.isPositiveDefinite()) throw new RangeError("the covariance is not positive definite");
  const design = new Matrix(x.map((value) => [1, value]));
  const values = Matrix.columnVector([...y]);
  const weightedDesign = v.solve(design);
  const normal = design.transpose().mmul(weightedDesign);
  const right = weightedDesign.transpose().mmul(values);
  const determinant = normal.get(0, 0) * normal.get(1, 1) - normal.get(0, 1) * normal.get(1, 0);
  const inverse = [
    [normal.get(1, 1) / determinant, -normal.get(0, 1) / determinant],
    [-normal.get(1, 0) / determinant, normal.get(0, 0) / determinant],
  ] as const;
  const intercept = inverse[0][0] * right.get(0, 0) + inverse[0][1] * right.get(1, 0);
  const slope = inverse[1][0] * right.get(0, 0) + inverse[1][1] * right.get(1, 0);

  const estimatorRow = (row: 0 | 1): number[] =>
    x.map((_, i) => inverse[row][0] * weightedDesign.get(i, 0) + inverse[row][1] * weightedDesign.get(i, 1));

  const residual = Matrix.columnVector(y.map((value, i) => value - intercept - slope * x[i]!));
  const degreesOfFreedom = n - 2;
  const chiSquare = degreesOfFreedom === 0 ? 0 : residual.transpose().mmul(v.solve(residual)).get(0, 0);
  const widened = degreesOfFreedom > 0 && chiSquare > chiSquare95(degreesOfFreedom);
  const factor = widened ? chiSquare / degreesOfFreedom : 1;
  return {
    intercept,
    slope,
    covariance: [
      [inverse[0][0] * factor, inverse[0][1] * factor],
      [inverse[1][0] * factor, inverse[1][1] * factor],
    ],
    chiSquare,
    degreesOfFreedom,
    estimator: [estimatorRow(0), estimatorRow(1)],
    widened,
  };
}

/** a·intercept + b·slope of a fitted line: 1 and x for its value at x, 0 and 1 for its slope. */
export interface OfLine {
  readonly value: number;
  readonly standardUncertainty: number;
  /** How much each fitted value counts in it. */
  readonly weights: readonly number[];
}

/** The line's a·intercept + b·slope with its standard uncertainty. */
export function ofLine(fit: LineFit, a: number, b: number): OfLine {
  const c = fit.covariance;
  const variance = a * a * c[0][0] + 2 * a * b * c[0][1] + b * b * c[1][1];
  return {
    value: a * fit.intercept + b * fit.slope,
    standardUncertainty: Math.sqrt(Math.max(0, variance)),
    weights: fit.estimator[0].map((weight, i) => a * weight + b * fit.estimator[1][i]!),
  };
}
