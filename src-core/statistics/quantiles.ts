import chiSquareQuantile from "@stdlib/stats-base-dists-chisquare-quantile";
import studentQuantile from "@stdlib/stats-base-dists-t-quantile";

/** 97.5 % point of the normal distribution: the coverage factor of a 95 % interval with many degrees of freedom. */
export const NORMAL_95 = 1.959963984540054;

/** 95 % point of the normal distribution: half width of a two-sided 90 % interval in standard uncertainties. */
export const NORMAL_90 = 1.6448536269514722;

/** From here on Student's quantile is the normal's to nine digits; far beyond it (10¹⁷) the routine gives 0. */
const AS_GOOD_AS_NORMAL = 1e10;

/**
 * Coverage factor of a two-sided 95 % interval.
 * @param degreesOfFreedom effective degrees of freedom (Welch–Satterthwaite); Infinity gives the normal's 1.96
 */
export function coverageFactor95(degreesOfFreedom: number): number {
  return degreesOfFreedom < AS_GOOD_AS_NORMAL ? studentQuantile(0.975, degreesOfFreedom) : NORMAL_95;
}

/**
 * Half width of a two-sided 90 % interval in standard uncertainties.
 * @param degreesOfFreedom effective degrees of freedom (Welch–Satterthwaite); Infinity gives the normal's 1.64
 */
export function coverageFactor90(degreesOfFreedom: number): number {
  return degreesOfFreedom < AS_GOOD_AS_NORMAL ? studentQuantile(0.95, degreesOfFreedom) : NORMAL_90;
}

/** The value that χ² with the given degrees of freedom stays below in 95 % of cases. */
export const chiSquare95 = (degreesOfFreedom: number): number => chiSquareQuantile(0.95, degreesOfFreedom);

/**
 * Effective degrees of freedom of a sum of independent components (Welch–Satterthwaite, GUM G.4.2).
 * @param components standard uncertainties with their degrees of freedom (Infinity for assumed figures)
 */
export function effectiveDegreesOfFreedom(components: readonly { u: number; degreesOfFreedom: number }[]): number {
  let sumOfSquares = 0;
  let weighted = 0;
  for (const { u, degreesOfFreedom } of components) {
    sumOfSquares += u * u;
    weighted += (u * u * u * u) / degreesOfFreedom;
  }
  return weighted === 0 ? Number.POSITIVE_INFINITY : (sumOfSquares * sumOfSquares) / weighted;
}
