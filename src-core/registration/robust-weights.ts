/**
 * How much a pair of points counts, by its residual: the least squares of a robust fit solved again and again with
 * these weights (iteratively reweighted least squares; Holland & Welsch 1977, Commun Stat A6:813).
 */

/** Factor that makes the median of |residual| an estimate of the standard deviation of a normal distribution. */
export const MEDIAN_TO_SD = 1.4826;

/** Tuning constant of Tukey's biweight with 95 % efficiency for normal residuals (Beaton & Tukey 1974). */
const TUKEY = 4.685;

/** Weight (0 to 1) and slope of the influence function (its derivative by the residual) of one residual. */
export interface Robustness {
  readonly weight: (residual: number) => number;
  readonly influenceSlope: (residual: number) => number;
}

/** Tukey's biweight: what is farther than 4.685 standard deviations has changed and counts nothing. */
export function tukey(standardDeviation: number): Robustness {
  const limit = TUKEY * standardDeviation;
  const rest = (r: number): number => 1 - (r / limit) * (r / limit);
  return {
    weight: (r) => (Math.abs(r) < limit ? rest(r) * rest(r) : 0),
    influenceSlope: (r) => (Math.abs(r) < limit ? rest(r) * (1 - 5 * (r / limit) * (r / limit)) : 0),
  };
}

/** Huber's weight (1964, Ann Math Stat 35:73): beyond the limit a residual pulls no harder, but it still pulls. */
export function huber(limit: number): Robustness {
  return {
    weight: (r) => (Math.abs(r) <= limit ? 1 : limit / Math.abs(r)),
    influenceSlope: (r) => (Math.abs(r) <= limit ? 1 : 0),
  };
}

/** All or nothing: the trimmed fit (Chetverikov, Stepanov & Krsek 2005, Image Vis Comput 23:299). */
export function trimmed(limit: number): Robustness {
  return {
    weight: (r) => (Math.abs(r) <= limit ? 1 : 0),
    influenceSlope: (r) => (Math.abs(r) <= limit ? 1 : 0),
  };
}

/** Every pair counts alike. */
export const EVERY_PAIR: Robustness = { weight: () => 1, influenceSlope: () => 1 };
