import fQuantile from "@stdlib/stats-base-dists-f-quantile";
import type { WithInterval } from "./agreement";
import { type Estimate, given, withheld } from "./estimate";

/** Mean squares of n subjects, each read k times. */
export interface MeanSquares {
  readonly betweenSubjects: number;
  readonly withinSubjects: number;
  readonly betweenReadings: number;
  readonly residual: number;
}

/** The six forms of the intraclass correlation, each with its 95 % interval. */
export interface IntraclassCorrelation {
  /** Subjects: patients, not landmarks of one patient. */
  readonly subjects: number;
  /** Readings of each. */
  readonly readings: number;
  readonly meanSquares: MeanSquares;
  /** (1,1): every subject by readers of its own. */
  readonly oneWay: WithInterval;
  /** (2,1): the same readers, drawn from many, absolute agreement: for the repeatability of an examiner. */
  readonly twoWayAgreement: WithInterval;
  /** (3,1): the same fixed readers, consistency: blind to a bias between them. */
  readonly twoWayConsistency: WithInterval;
  /** (1,k), (2,k), (3,k): of the mean of the k readings. */
  readonly oneWayOfMean: WithInterval;
  readonly twoWayAgreementOfMean: WithInterval;
  readonly twoWayConsistencyOfMean: WithInterval;
}

/**
 * Intraclass correlation in its six forms with 95 % intervals (Shrout & Fleiss 1979, Psychol Bull 86:420-428). It
 * compares error with the spread of the subjects: widths, which spread much, show a higher figure than their changes.
 * @param table one row per subject, its k readings in the same order; values or changes, any unit
 * @returns withheld with fewer than two subjects or readings, and where the subjects, or all readings of each, are alike
 * @throws RangeError if the rows are of different length
 */
export function intraclassCorrelation(table: readonly (readonly number[])[]): Estimate<IntraclassCorrelation> {
  const n = table.length;
  const k = table[0]?.length ?? 0;
  if (table.some((row) => row.length !== k)) throw new RangeError("every subject needs the same number of readings");
  if (n < 2 || k < 2) return withheld("too-few");
  const meanSquares = meanSquaresOf(table);
  const { betweenSubjects: b, withinSubjects: w, betweenReadings: j, residual: e } = meanSquares;
  if (b === 0 || e === 0) return withheld("no-variance");

  const oneWay = byRatio(b / w, n - 1, n * (k - 1), k);
  const consistency = byRatio(b / e, n - 1, (n - 1) * (k - 1), k);
  const agreement = agreementInterval(meanSquares, n, k);
  const ofMean = (rho: number): number => (rho * k) / (1 + rho * (k - 1));
  return given({
    subjects: n,
    readings: k,
    meanSquares,
    oneWay: { value: (b - w) / (b + (k - 1) * w), ...oneWay.single },
    twoWayAgreement: { value: (b - e) / (b + (k - 1) * e + (k * (j - e)) / n), ...agreement },
    twoWayConsistency: { value: (b - e) / (b + (k - 1) * e), ...consistency.single },
    oneWayOfMean: { value: (b - w) / b, ...oneWay.ofMean },
    twoWayAgreementOfMean: {
      value: (b - e) / (b + (j - e) / n),
      low: ofMean(agreement.low),
      high: ofMean(agreement.high),
    },
    twoWayConsistencyOfMean: { value: (b - e) / b, ...consistency.ofMean },
  });
}

const mean = (list: readonly number[]): number => list.reduce((sum, x) => sum + x, 0) / list.length;
const squares = (list: readonly number[], about: number): number =>
  list.reduce((sum, x) => sum + (x - about) * (x - about), 0);

function meanSquaresOf(table: readonly (readonly number[])[]): MeanSquares {
  const n = table.length;
  const k = table[0]!.length;
  const rows = table.map(mean);
  const columns = table[0]!.map((_, i) => mean(table.map((row) => row[i]!)));
  const grand = mean(rows);
  const within = table.reduce((sum, row, i) => sum + squares(row, rows[i]!), 0);
  const between = n * squares(columns, grand);
  // Summed cell by cell: as a difference of sums it would not reach 0 where it is 0.
  const residual = table.reduce(
    (sum, row, i) =>
      sum +
      row.reduce((part, x, c) => {
        const rest = x - rows[i]! - columns[c]! + grand;
        return part + rest * rest;
      }, 0),
    0,
  );
  return {
    betweenSubjects: (k * squares(rows, grand)) / (n - 1),
    withinSubjects: within / (n * (k - 1)),
    betweenReadings: between / (k - 1),
    residual: residual / ((n - 1) * (k - 1)),
  };
}

interface Ends {
  readonly low: number;
  readonly high: number;
}

/** Intervals of the forms that follow from one ratio F of mean squares. */
function byRatio(f: number, above: number, below: number, k: number): { single: Ends; ofMean: Ends } {
  const low = f / fQuantile(0.975, above, below);
  const high = f * fQuantile(0.975, below, above);
  return {
    single: { low: (low - 1) / (low + k - 1), high: (high - 1) / (high + k - 1) },
    ofMean: { low: 1 - 1 / low, high: 1 - 1 / high },
  };
}

/** Interval of (2,1), with the degrees of freedom of Satterthwaite. */
function agreementInterval(m: MeanSquares, n: number, k: number): Ends {
  const { betweenSubjects: b, betweenReadings: j, residual: e } = m;
  const rho = (b - e) / (b + (k - 1) * e + (k * (j - e)) / n);
  const ratio = j / e;
  const own = n * (1 + (k - 1) * rho) - k * rho;
  const sum = k * rho * ratio + own;
  const freedom = ((k - 1) * (n - 1) * sum * sum) / ((n - 1) * k * k * rho * rho * ratio * ratio + own * own);
  const above = fQuantile(0.975, n - 1, freedom);
  const below = fQuantile(0.975, freedom, n - 1);
  const rest = k * j + (k * n - k - n) * e;
  return {
    low: (n * (b - above * e)) / (above * rest + n * b),
    high: (n * (below * b - e)) / (rest + n * below * b),
  };
}
