import { describe, expect, test } from "vitest";
import { DEFAULT_SETTINGS } from "#core/case/case-document";
import { seededRandom } from "#core/geometry/seeded-random";
import type { PatternReading, Verdict } from "#core/readings/readings-document";
import { readSpan } from "#core/readings/span-readings";
import type { PointSet } from "#core/readings/width";
import { type DrawnErrors, drawnByHand, openedArch } from "./drawn-arch";
import { normalFrom } from "./normal-draws";

/**
 * What orthodontists expect to see, on simulated arches named by their pattern (common practice, no source): the
 * readings must give such arches their usual names, also through the errors of a careful hand and a scanner.
 */

/** An arch that opened 5.5 mm at the canines and 3 mm at the first molars. */
const MORE_IN_FRONT = (station: number): number => 5.5 - (2.5 / 22) * station;
/** One that opened as much in front, and 2 mm more than that at the first molars. */
const TWO_MORE_AT_THE_BACK = (station: number): number => MORE_IN_FRONT(station) + (2 / 22) * station;
/** One that opened 3 mm at the canines and 2 mm more than that at the first molars. */
const MORE_AT_THE_BACK = (station: number): number => 3 + (2 / 22) * station;

const CAREFUL: DrawnErrors = { hand: 0.1, atCanines: 0.05, atMolars: 0.12, local: 0.02 };
const { hand, ...scanner } = CAREFUL;
const ASSUMED = { ...DEFAULT_SETTINGS, pointWidth: hand, scanner };

const patternOf = (sets: readonly [PointSet, PointSet]): PatternReading => {
  const found = readSpan(...sets, ASSUMED, "expansion").patterns[0]!;
  if (found.state === "withheld") throw new Error(found.reason.text);
  return found.reading;
};

/** Shares of the verdicts over drawn arches. */
function verdicts(widening: (station: number) => number, draws = 200): Partial<Record<Verdict, number>> {
  const normal = normalFrom(seededRandom(91));
  const arch = openedArch(widening);
  const shares: Partial<Record<Verdict, number>> = {};
  for (let i = 0; i < draws; i++) {
    const { verdict } = patternOf(drawnByHand(...arch, CAREFUL, normal));
    shares[verdict] = (shares[verdict] ?? 0) + 1 / draws;
  }
  return shares;
}

describe("usual names of patterns (common practice, no source)", () => {
  test("an arch that opens more in front is fan-shaped, wider in front", () => {
    expect(patternOf(openedArch(MORE_IN_FRONT)).verdict).toBe("fan-front");
    expect(verdicts(MORE_IN_FRONT)["fan-front"]).toBeGreaterThan(0.95);
  });

  test("one that opens about 2 mm more at the back than it is read as 2 mm more there, alike in front, and parallel", () => {
    const [fan, other] = [patternOf(openedArch(MORE_IN_FRONT)), patternOf(openedArch(TWO_MORE_AT_THE_BACK))];
    expect(other.atMolars.value - fan.atMolars.value).toBeCloseTo(2, 9);
    expect(other.atCanines.value - fan.atCanines.value).toBeCloseTo(0, 9);
    // Beyond error: the intervals at the back do not meet, those in front hold each other's value.
    expect(other.atMolars.low).toBeGreaterThan(fan.atMolars.high);
    expect(other.atCanines.low).toBeLessThan(fan.atCanines.value);
    expect(other.atCanines.high).toBeGreaterThan(fan.atCanines.value);
    expect(other.difference.value).toBeCloseTo(fan.difference.value - 2, 9);
    expect(other.verdict).toBe("parallel");
    const shares = verdicts(TWO_MORE_AT_THE_BACK);
    expect(shares["fan-front"] ?? 0).toBeLessThan(0.02);
    expect(shares["fan-back"] ?? 0).toBe(0);
  });

  test("an arch that opens about 2 mm more at the back than in front is fan-shaped, wider at the back", () => {
    expect(patternOf(openedArch(MORE_AT_THE_BACK)).verdict).toBe("fan-back");
    expect(verdicts(MORE_AT_THE_BACK)["fan-back"]).toBeGreaterThan(0.95);
  });
});
