import { beforeAll, describe, expect, test } from "vitest";
import { seededRandom } from "#core/geometry/seeded-random";
import { WIDTHS } from "#core/readings/catalogue";
import { readPattern } from "#core/readings/pattern";
import type { Given, Interval, PatternReading } from "#core/readings/readings-document";
import type { Assumptions } from "#core/readings/uncertainty";
import { type PointSet, readWidth, stationsFrom } from "#core/readings/width";
import { NORMAL_95 } from "#core/statistics/quantiles";
import { type DrawnErrors, drawnByHand, drawnCarried, openedArch, tipped } from "./drawn-arch";
import { normalFrom, Spread } from "./normal-draws";

/** Propagated errors against 20,000 drawn arches (GUM Supplement 1, JCGM 101:2008): within 5 %. */
const DRAWS = 20_000;
const ERRORS: DrawnErrors = { hand: 0.25, atCanines: 0.05, atMolars: 0.12, local: 0.02 };
const SCANNER_ONLY: DrawnErrors = { ...ERRORS, hand: 0 };
const figures = ({ hand, ...scanner }: DrawnErrors): Assumptions => ({ delta: 1, pointWidth: hand, scanner });

const given = <T>(reading: Given<T>): T => {
  if (reading.state === "withheld") throw new Error(reading.reason.text);
  return reading.reading;
};
const definition = (pair: string) => WIDTHS.find((d) => d.pair.name === pair && d.level === "cusp-tip")!;
const CUSPS = WIDTHS.filter(({ level }) => level === "cusp-tip");

const [BEFORE, AFTER] = openedArch((station) => 6 - 0.12 * station);
const TIPPED_AFTER: PointSet = {
  ...AFTER,
  points: AFTER.points.map((point) => ({ ...point, carried: tipped(point, 8) })),
};
const STATIONS = stationsFrom(BEFORE);

const within5 = (claimed: number, drawn: number): void => {
  expect(claimed / drawn).toBeGreaterThan(0.95);
  expect(claimed / drawn).toBeLessThan(1.05);
};

describe.each([
  ["placed by hand", AFTER, (n: () => number) => drawnByHand(BEFORE, AFTER, ERRORS, n)],
  [
    "carried by crowns that tipped by 8 degrees",
    TIPPED_AFTER,
    (n: () => number) => drawnCarried(BEFORE, AFTER, 8, ERRORS, n),
  ],
] as const)("widths and changes %s", (_, after, draw) => {
  test("have the standard uncertainty that the draws have", () => {
    const normal = normalFrom(seededRandom(11));
    const pairs = ["3-3", "6-6", "7-7"];
    const spreads = pairs.map(() => ({ before: new Spread(), after: new Spread(), change: new Spread() }));
    for (let i = 0; i < DRAWS; i++) {
      const [first, second] = draw(normal);
      pairs.forEach((pair, k) => {
        const width = readWidth(first, second, definition(pair), STATIONS, figures(ERRORS));
        for (const key of ["before", "after", "change"] as const) spreads[k]![key].add(given(width[key]).value);
      });
    }
    pairs.forEach((pair, k) => {
      const claimed = readWidth(BEFORE, after, definition(pair), STATIONS, figures(ERRORS));
      for (const key of ["before", "after", "change"] as const) {
        within5(given(claimed[key]).standardUncertainty, spreads[k]![key].deviation);
      }
      // A change placed by hand is less certain than a carried one by far more than these bounds.
      expect(Math.abs(spreads[k]!.change.mean - given(claimed.change).value)).toBeLessThan(0.02);
    });
  });
});

describe.each([
  ["placed by hand", ERRORS],
  ["with the scanner's error alone, correlated along the arch", SCANNER_ONLY],
] as const)("the pattern %s", (_, errors) => {
  const assumptions = figures(errors);
  const patternOf = (first: PointSet, second: PointSet): PatternReading =>
    given(
      readPattern(
        "cusp-tip",
        CUSPS.map((d) => readWidth(first, second, d, STATIONS, assumptions)),
        STATIONS,
        assumptions,
      ),
    );
  const claimed = patternOf(BEFORE, AFTER);
  const keys = ["difference", "slopePer10mm", "atCanines", "atMolars"] as const;
  const spreads = keys.map(() => new Spread());
  const covered = { ratio: 0, hinge: 0 };
  let hinges = 0;
  const contains = ({ low, high }: Interval, truth: number): number => (low <= truth && truth <= high ? 1 : 0);

  beforeAll(() => {
    const normal = normalFrom(seededRandom(12));
    for (let i = 0; i < DRAWS; i++) {
      const drawn = patternOf(...drawnByHand(BEFORE, AFTER, errors, normal));
      keys.forEach((key, k) => {
        spreads[k]!.add(drawn[key].value);
      });
      covered.ratio += contains(given(drawn.frontToBack).ratio, 6 / (6 - 0.12 * 22));
      if (drawn.hinge.state === "withheld") continue;
      hinges++;
      covered.hinge += contains(drawn.hinge.reading, 50);
    }
  });

  test("D, slope and both stations have the standard uncertainty that the draws have", () => {
    expect(claimed.widened).toBe(false);
    keys.forEach((key, k) => {
      within5((claimed[key].high - claimed[key].low) / 2 / NORMAL_95, spreads[k]!.deviation);
      expect(Math.abs(spreads[k]!.mean - claimed[key].value)).toBeLessThan(0.02);
    });
  });

  test("Fieller's interval covers the true ratio and the true hinge in about 95 % of the draws", () => {
    expect(covered.ratio / DRAWS).toBeGreaterThan(0.94);
    expect(covered.ratio / DRAWS).toBeLessThan(0.96);
    expect(hinges / DRAWS).toBeGreaterThan(0.9);
    expect(covered.hinge / hinges).toBeGreaterThan(0.94);
    expect(covered.hinge / hinges).toBeLessThan(0.96);
  });
});
