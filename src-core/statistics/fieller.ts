import { NORMAL_95 } from "./quantiles";

/**
 * Interval of a ratio a/b of two values with correlated normal errors (Fieller 1954, J R Stat Soc B 16:175): all ρ for
 * which a − ρ·b does not differ from 0.
 * @param a numerator and `varianceA` its variance
 * @param b denominator and `varianceB` its variance
 * @param covariance of a and b
 * @param k coverage factor, 1.96 for 95 %
 * @returns lower and upper end, or null where b does not differ from 0 (the set is then unbounded)
 */
export function ratioInterval(
  a: number,
  varianceA: number,
  b: number,
  varianceB: number,
  covariance: number,
  k: number = NORMAL_95,
): { low: number; high: number } | null {
  const square = k * k;
  const leading = b * b - square * varianceB;
  if (leading <= 0) return null;
  const half = a * b - square * covariance;
  const last = a * a - square * varianceA;
  const root = Math.sqrt(Math.max(0, half * half - leading * last));
  return { low: (half - root) / leading, high: (half + root) / leading };
}
