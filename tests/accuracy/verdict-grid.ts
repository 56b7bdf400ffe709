import { seededRandom } from "#core/geometry/seeded-random";
import { WIDTHS } from "#core/readings/catalogue";
import { readPattern } from "#core/readings/pattern";
import type { Interval, PatternReading, Verdict } from "#core/readings/readings-document";
import type { Assumptions } from "#core/readings/uncertainty";
import { type PointSet, readWidth, stationsFrom } from "#core/readings/width";
import { NORMAL_95 } from "#core/statistics/quantiles";
import { type DrawnErrors, drawnByHand, openedArch } from "../unit/readings/drawn-arch";
import { normalFrom } from "../unit/readings/normal-draws";

/**
 * How often the rule of the pattern says what is true, on arches drawn with the errors that it is told of: by true D,
 * by error, by number of pairs. Invented arch; fixed seeds.
 */

const SCANNER = { atCanines: 0.05, atMolars: 0.12, local: 0.02 };
export const ERRORS: readonly { readonly name: string; readonly errors: DrawnErrors }[] = [
  { name: "placed by hand (0.25 mm)", errors: { hand: 0.25, ...SCANNER } },
  { name: "a steadier hand (0.12 mm)", errors: { hand: 0.12, ...SCANNER } },
  { name: "carried points (scanner alone)", errors: { hand: 0, ...SCANNER } },
];
const NO_SCANNER = { atCanines: 0, atMolars: 0, local: 0 };
/** Only among the clear cases: errors between the others, and smaller ones. */
const FURTHER: typeof ERRORS = [
  { name: "placed by hand (0.18 mm)", errors: { hand: 0.18, ...SCANNER } },
  {
    name: "carried points, scanner of half the error",
    errors: { hand: 0, atCanines: 0.025, atMolars: 0.06, local: 0.01 },
  },
  { name: "simulated scans, points within 0.1 mm", errors: { hand: 0.1, ...NO_SCANNER } },
  { name: "simulated scans, points within 0.05 mm", errors: { hand: 0.05, ...NO_SCANNER } },
];
export const CLEAR_ERRORS = [...ERRORS, ...FURTHER];
/** Which pairs: last digits of their teeth. */
export const PAIR_SETS: readonly (readonly number[])[] = [
  [3, 6],
  [3, 4, 5, 6],
  [3, 4, 5, 6, 7],
];
export const TRUE_DIFFERENCES = [-3, -1.5, 0, 0.5, 0.8, 1.2, 1.5, 2, 3];

const DELTA = 1;
const NO_CHANGE = 0.5;
const MOLARS = 22;
/** Mean change of the fans and parallel widenings, mm. */
const MEAN = 4;

/** Shares of the draws. */
export interface Rates {
  readonly right: number;
  /** True as well, but saying less: 'parallel' where nothing changed. */
  readonly weaker: number;
  /** 'Narrowed' where the true change is negative, though within what counts as no change. */
  readonly narrowed: number;
  readonly wrong: number;
  /** Undecided, or too much scatter for one line. */
  readonly open: number;
}

export interface GridCell {
  readonly error: number;
  readonly pairs: number;
  readonly difference: number;
  readonly rates: Rates;
}

/** A case that is clear by so many standard uncertainties, and how often it was decided. */
export interface ClearCell {
  readonly error: number;
  readonly pairs: number;
  readonly kind: "fan-front" | "parallel" | "no-change";
  /** Standard uncertainties between the truth and the bound of the rule. */
  readonly clearance: number;
  /** Standard uncertainty of D; for no change, the larger one at the two stations, mm. */
  readonly u: number;
  /** True D; for no change, the change at both stations, mm. */
  readonly truth: number;
  readonly rates: Rates;
}

export const KINDS: readonly ClearCell["kind"][] = ["fan-front", "parallel", "no-change"];

/** What is looked at: the edges at which the definitions call a case clear, and a wider one. */
export const CLEARANCES: readonly Pick<ClearCell, "kind" | "clearance">[] = [
  { kind: "fan-front", clearance: 3 },
  { kind: "parallel", clearance: 3 },
  { kind: "parallel", clearance: 4 },
  { kind: "no-change", clearance: 2 },
  { kind: "no-change", clearance: 4 },
];

const CUSPS = WIDTHS.filter(({ level }) => level === "cusp-tip");

/** Reads patterns of one arch with some of its pairs, by the figures of one kind of error. */
function simulation(errors: DrawnErrors, digits: readonly number[], widening: (station: number) => number) {
  const [before, after] = openedArch(widening).map(
    (set): PointSet => ({ ...set, points: set.points.filter(({ tooth }) => digits.includes(tooth! % 10)) }),
  ) as [PointSet, PointSet];
  const { hand, ...scanner } = errors;
  const assumptions: Assumptions = { delta: DELTA, pointWidth: hand, scanner };
  const stations = stationsFrom(before);
  const read = (first: PointSet, second: PointSet): PatternReading => {
    const widths = CUSPS.filter(({ pair }) => digits.includes(pair.right % 10) && pair.right < 50).map((definition) =>
      readWidth(first, second, definition, stations, assumptions),
    );
    const pattern = readPattern("cusp-tip", widths, stations, assumptions);
    if (pattern.state === "withheld") throw new Error(pattern.reason.text);
    return pattern.reading;
  };
  return {
    exact: () => read(before, after),
    rates(verdict: Verdict, draws: number, seed: number, negative = false): Rates {
      const normal = normalFrom(seededRandom(seed));
      const counted = new Map<Verdict, number>();
      for (let i = 0; i < draws; i++) {
        const said = read(...drawnByHand(before, after, errors, normal)).verdict;
        counted.set(said, (counted.get(said) ?? 0) + 1);
      }
      const count = (said: Verdict) => counted.get(said) ?? 0;
      const open = count("irregular") + count("undecided");
      const unchanged = verdict === "no-change";
      // Nothing changed is parallel as well, which says less; and where the arch became narrower, however little,
      // 'narrowed' says what is so.
      const weaker = unchanged ? count("parallel") : 0;
      const narrowed = unchanged && negative ? count("narrowed") : 0;
      return {
        right: count(verdict) / draws,
        weaker: weaker / draws,
        narrowed: narrowed / draws,
        wrong: (draws - count(verdict) - weaker - narrowed - open) / draws,
        open: open / draws,
      };
    },
  };
}

/** All clear cases of one kind and one error taken together. */
export interface ClearSweep {
  readonly kind: ClearCell["kind"];
  readonly error: number;
  /** Of no change: whether these are the cases whose true change lies below 0. */
  readonly negative: boolean;
  /** How many combinations of truth, error and pairs were clear. */
  readonly cases: number;
  readonly rates: Rates;
}

/** Steps and ends of the truths that are tried, mm. */
const SWEEP_STEP = 0.1;
const SWEEP_ENDS: Readonly<Record<ClearCell["kind"], readonly [number, number]>> = {
  "fan-front": [DELTA, 3],
  parallel: [-DELTA, DELTA],
  "no-change": [-NO_CHANGE, NO_CHANGE],
};
/** How many standard uncertainties away from the bound a case is called clear. */
const CLEAR_BY: Readonly<Record<ClearCell["kind"], number>> = { "fan-front": 3, parallel: 3, "no-change": 2 };

const fanOf = (difference: number) => (station: number) => MEAN + difference * (0.5 - station / MOLARS);

/** What the rule says without error: beyond δ a fan, within it parallel. */
const verdictFor = (difference: number): Verdict =>
  Math.abs(difference) <= DELTA ? "parallel" : difference > 0 ? "fan-front" : "fan-back";

/** Rates by true D, error and pairs. */
export function verdictGrid(draws: number): GridCell[] {
  return ERRORS.flatMap(({ errors }, error) =>
    PAIR_SETS.flatMap((digits) =>
      TRUE_DIFFERENCES.map((difference, i) => ({
        error,
        pairs: digits.length,
        difference,
        rates: simulation(errors, digits, fanOf(difference)).rates(verdictFor(difference), draws, 100 + i),
      })),
    ),
  );
}

/**
 * Cases just as far from the bound of the rule as the clearance says: fan D = δ + 3u, parallel D = δ − 3u or 4u, no
 * change 0.5 mm − 2u or 4u at both stations; left out where the error leaves no such case.
 */
export function clearCases(draws: number): ClearCell[] {
  return CLEAR_ERRORS.flatMap(({ errors }, error) =>
    PAIR_SETS.flatMap((digits) =>
      CLEARANCES.flatMap(({ kind, clearance }): ClearCell[] => {
        const u = uncertaintyOf(kind, errors, digits);
        const bound = kind === "no-change" ? NO_CHANGE : DELTA;
        const truth = kind === "fan-front" ? bound + clearance * u : bound - clearance * u;
        if (truth < 0) return [];
        const arch = simulation(errors, digits, kind === "no-change" ? () => truth : fanOf(truth));
        return [{ error, pairs: digits.length, kind, clearance, u, truth, rates: arch.rates(kind, draws, 200) }];
      }),
    ),
  );
}

/**
 * Every case of a grid of truths that is clear: fan D ≥ δ + 3u, parallel |D| ≤ δ − 3u, no change with |change| + 2u ≤
 * 0.5 mm at both stations; by kind and by error, over all numbers of pairs.
 * @returns without the errors that leave no clear case
 */
export function clearSweeps(draws: number): ClearSweep[] {
  let seed = 400;
  return KINDS.flatMap((kind) => {
    const bound = kind === "no-change" ? NO_CHANGE : DELTA;
    const sign = kind === "fan-front" ? 1 : -1;
    const [from, to] = SWEEP_ENDS[kind];
    return CLEAR_ERRORS.flatMap(({ errors }, error): ClearSweep[] => {
      const all = { zeroOrMore: [] as Rates[], negative: [] as Rates[] };
      for (const digits of PAIR_SETS) {
        const u = uncertaintyOf(kind, errors, digits);
        for (let i = 0; i <= Math.round((to - from) / SWEEP_STEP); i++) {
          const truth = (Math.round(from / SWEEP_STEP) + i) * SWEEP_STEP;
          if (sign * (Math.abs(truth) - bound) < CLEAR_BY[kind] * u) continue;
          const arch = simulation(errors, digits, kind === "no-change" ? () => truth : fanOf(truth));
          const negative = kind === "no-change" && truth < 0;
          all[negative ? "negative" : "zeroOrMore"].push(arch.rates(kind, draws, seed++, negative));
        }
      }
      return [all.zeroOrMore, all.negative].flatMap((rates, i) =>
        rates.length === 0
          ? []
          : [{ kind, error, negative: i === 1, cases: rates.length, rates: pooled(rates.map((one) => [1, one])) }],
      );
    });
  });
}

/** Weighted mean of rates. */
function pooled(all: readonly (readonly [weight: number, rates: Rates])[]): Rates {
  const total = all.reduce((sum, [weight]) => sum + weight, 0);
  const mean = (pick: (rates: Rates) => number) =>
    all.reduce((sum, [weight, rates]) => sum + weight * pick(rates), 0) / total;
  return {
    right: mean((r) => r.right),
    weaker: mean((r) => r.weaker),
    narrowed: mean((r) => r.narrowed),
    wrong: mean((r) => r.wrong),
    open: mean((r) => r.open),
  };
}

/** Clear cases of some sweeps taken together, each case as one. */
export const together = (sweeps: readonly ClearSweep[]): Pick<ClearSweep, "cases" | "rates"> => ({
  cases: sweeps.reduce((sum, { cases }) => sum + cases, 0),
  rates: pooled(sweeps.map(({ cases, rates }) => [cases, rates])),
});

/** Standard uncertainty of D; for no change, the larger one at the two stations, mm. */
function uncertaintyOf(kind: ClearCell["kind"], errors: DrawnErrors, digits: readonly number[]): number {
  const { difference, atCanines, atMolars } = simulation(errors, digits, fanOf(0)).exact();
  const spread = ({ low, high }: Interval) => (high - low) / 2 / NORMAL_95;
  return kind === "no-change" ? Math.max(spread(atCanines), spread(atMolars)) : spread(difference);
}
