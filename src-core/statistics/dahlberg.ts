import { type Estimate, given, type RepeatedPair, withheld } from "./estimate";

/** The error of one reading, from things read twice. */
export interface DahlbergError {
  /** Pairs of readings. */
  readonly n: number;
  /** √(Σd²/2n): standard deviation of one reading, a difference between first and second readings included. */
  readonly error: number;
  /** Mean of first less second reading. */
  readonly bias: number;
  /** SD(d)/√2: the same without the bias. */
  readonly errorWithoutBias: number;
}

/**
 * Dahlberg's error of the method (Dahlberg 1940). It contains the bias, so that stands beside it (Houston 1983, Am J
 * Orthod 83:382-390).
 * @param pairs each thing read twice, any unit; values or changes
 * @returns in the same unit; withheld with fewer than two pairs, and where no reading differs from its repeat (copies,
 *   not readings)
 */
export function dahlbergError(pairs: readonly RepeatedPair[]): Estimate<DahlbergError> {
  const n = pairs.length;
  if (n < 2) return withheld("too-few");
  const differences = pairs.map(([first, second]) => first - second);
  const sumOfSquares = differences.reduce((sum, d) => sum + d * d, 0);
  if (sumOfSquares === 0) return withheld("no-variance");
  const bias = differences.reduce((sum, d) => sum + d, 0) / n;
  const about = differences.reduce((sum, d) => sum + (d - bias) * (d - bias), 0);
  return given({
    n,
    error: Math.sqrt(sumOfSquares / (2 * n)),
    bias,
    errorWithoutBias: Math.sqrt(about / (n - 1) / 2),
  });
}
