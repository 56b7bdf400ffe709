import { type Deviation, QUANTITIES } from "./deviations";

/** Sums over many deviations, by quantity. */
export type Tally = Record<string, { count: number; covered: number; z: number; squares: number }>;

/** Adds deviations to a tally. */
export function addTo(tally: Tally, deviations: readonly Deviation[]): void {
  for (const { quantity, z, covered } of deviations) {
    tally[quantity] ??= { count: 0, covered: 0, z: 0, squares: 0 };
    const own = tally[quantity];
    own.count++;
    own.covered += covered ? 1 : 0;
    own.z += z;
    own.squares += z * z;
  }
}

/** Tallies of several units as one. */
export function joined(tallies: readonly Tally[]): Tally {
  const all: Tally = {};
  for (const tally of tallies) {
    for (const [quantity, { count, covered, z, squares }] of Object.entries(tally)) {
      all[quantity] ??= { count: 0, covered: 0, z: 0, squares: 0 };
      const own = all[quantity];
      own.count += count;
      own.covered += covered;
      own.z += z;
      own.squares += squares;
    }
  }
  return all;
}

/** What the intervals of a quantity did. */
export interface Coverage {
  readonly quantity: (typeof QUANTITIES)[number];
  readonly count: number;
  /** Share of the 95 % intervals that hold the truth. */
  readonly share: number;
  /** Mean of (deviation / standard uncertainty)², 1 where the uncertainty is right. */
  readonly meanSquare: number;
  readonly mean: number;
}

export const coverageOf = (tally: Tally): Coverage[] =>
  QUANTITIES.map((quantity): Coverage => {
    const { count, covered, z, squares } = tally[quantity] ?? { count: 0, covered: 0, z: 0, squares: 0 };
    return { quantity, count, share: covered / count, meanSquare: squares / count, mean: z / count };
  });

/** One line of the table. */
export const coverageLine = ({ quantity, count, share, meanSquare, mean }: Coverage): string =>
  `${quantity.padEnd(48)} ${String(count).padStart(6)} intervals, ${(100 * share).toFixed(1)} % hold the truth, mean z² ${meanSquare.toFixed(2)}, mean z ${mean.toFixed(2)}`;
