import { type Estimate, given, type RepeatedPair, withheld } from "./estimate";
import { coverageFactor95, NORMAL_95 } from "./quantiles";

/** A value with its 95 % interval. */
export interface WithInterval {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** How far two readings of the same thing lie apart. */
export interface Agreement {
  readonly n: number;
  /** Mean of first less second. */
  readonly bias: WithInterval;
  /** Standard deviation of the differences, n − 1. */
  readonly standardDeviation: number;
  /** Between these lie 95 % of the differences: bias ∓ `factor` SD. */
  readonly lower: WithInterval;
  readonly upper: WithInterval;
}

/**
 * Limits of agreement with the intervals of the bias, SD/√n, and of both limits, √(3/n)·SD, by Student's t with n − 1
 * degrees of freedom (Bland & Altman 1986, Lancet i:307-310).
 * @param pairs the same things read twice, any unit; values or changes
 * @param factor standard deviations from bias to limit: 1.96, which the paper rounds to 2
 * @returns in the same unit; withheld with fewer than two pairs and where all differences are the same
 */
export function limitsOfAgreement(pairs: readonly RepeatedPair[], factor: number = NORMAL_95): Estimate<Agreement> {
  const n = pairs.length;
  if (n < 2) return withheld("too-few");
  const differences = pairs.map(([first, second]) => first - second);
  const mean = differences.reduce((sum, d) => sum + d, 0) / n;
  const about = differences.reduce((sum, d) => sum + (d - mean) * (d - mean), 0);
  const standardDeviation = Math.sqrt(about / (n - 1));
  if (standardDeviation === 0) return withheld("no-variance");
  const t = coverageFactor95(n - 1);
  const around = (value: number, standardError: number): WithInterval => ({
    value,
    low: value - t * standardError,
    high: value + t * standardError,
  });
  const ofLimit = standardDeviation * Math.sqrt(3 / n);
  return given({
    n,
    bias: around(mean, standardDeviation / Math.sqrt(n)),
    standardDeviation,
    lower: around(mean - factor * standardDeviation, ofLimit),
    upper: around(mean + factor * standardDeviation, ofLimit),
  });
}

/**
 * Repeatability coefficient: two readings of the same thing by the same examiner differ by less than this in 95 % of
 * cases, 1.96·√2·s (Bland & Altman 1986; ISO 5725).
 * @param withinSubject s, the standard deviation of one reading, such as Dahlberg's error
 */
export const repeatabilityCoefficient = (withinSubject: number): number => NORMAL_95 * Math.SQRT2 * withinSubject;

/**
 * Smallest detectable change (95 %): a change between two occasions, each the mean of m readings, that is not exceeded
 * by error alone, 1.96·√2·s/√m.
 * @param standardError s of one reading: within-subject standard deviation, or SD·√(1 − ICC)
 * @param readings m, how many are averaged on each occasion
 */
export const smallestDetectableChange = (standardError: number, readings = 1): number =>
  (NORMAL_95 * Math.SQRT2 * standardError) / Math.sqrt(readings);

/**
 * The same where the changes themselves were read repeatedly: both occasions' errors are in them already, 1.96·s.
 * @param standardErrorOfChange s of one change, such as Dahlberg's error of pairs of changes
 */
export const smallestDetectableOfChanges = (standardErrorOfChange: number): number => NORMAL_95 * standardErrorOfChange;
