import { describe, expect, test } from "vitest";
import { DEFAULT_SETTINGS } from "#core/case/case-document";
import { fromRotationVector, IDENTITY } from "#core/geometry/rigid-transform";
import { seededRandom } from "#core/geometry/seeded-random";
import { type CrownInput, crownMotion, halfReference } from "#core/readings/crowns";
import { type HalvesInput, type MovedHalf, readHalves } from "#core/readings/halves";
import type { Quantity } from "#core/readings/readings-document";
import { readSpan } from "#core/readings/span-readings";
import { type Assumptions, quantity } from "#core/readings/uncertainty";
import { coverageFactor90, coverageFactor95, NORMAL_95 } from "#core/statistics/quantiles";
import { inventedPoints, SIMULATED } from "./invented-arch";
import { normalFrom } from "./normal-draws";

const BEFORE = inventedPoints("before", () => 0);
const AFTER = inventedPoints("after", (station) => 5 - 0.1 * station);

/** The factor that JCGM 100:2008, G.2b gives where only the point part has limited degrees of freedom. */
const expectedFactor = ({ components, standardUncertainty: u }: Quantity, degreesOfFreedom: number): number =>
  coverageFactor95((degreesOfFreedom * u ** 4) / components.point ** 4);

const given = <T>(reading: { state: "given"; reading: T } | { state: "withheld"; reason: { text: string } }): T => {
  if (reading.state === "withheld") throw new Error(reading.reason.text);
  return reading.reading;
};

describe("the coverage factor follows from the degrees of freedom of the hand's part (JCGM 100:2008, G.4)", () => {
  test("assumed figures: the normal's 1.96", () => {
    expect(quantity(1, { point: 0.25, registration: 0, scanner: 0.1 }).coverageFactor).toBe(NORMAL_95);
  });

  test("the hand's part alone: Student's t; none of it: 1.96 again", () => {
    expect(quantity(1, { point: 0.25, registration: 0, scanner: 0 }, 10).coverageFactor).toBeCloseTo(2.228, 3);
    expect(quantity(1, { point: 0, registration: 0.1, scanner: 0.1 }, 10).coverageFactor).toBe(NORMAL_95);
  });

  test("two equal parts, one of them with 10: four times as many", () => {
    const { coverageFactor, expandedUncertainty, standardUncertainty } = quantity(
      1,
      { point: 0.2, registration: 0, scanner: 0.2 },
      10,
    );
    expect(coverageFactor).toBeCloseTo(coverageFactor95(40), 12);
    expect(expandedUncertainty).toBeCloseTo(coverageFactor * standardUncertainty, 15);
  });

  test("widths and changes, by the figure of their level where the examiner has one", () => {
    const assumptions: Assumptions = {
      ...DEFAULT_SETTINGS,
      pointByLevel: { "cusp-tip": { pointWidth: 0.18, degreesOfFreedom: 12 } },
    };
    for (const width of readSpan(BEFORE, AFTER, assumptions, "expansion").widths) {
      const own = width.level === "cusp-tip";
      for (const q of [width.before, width.change].map(given)) {
        expect(q.coverageFactor).toBeCloseTo(own ? expectedFactor(q, 12) : NORMAL_95, 12);
      }
      expect(given(width.before).components.point).toBe(own ? 0.18 : 0.25);
    }
  });

  test("the pattern's intervals, with fewer degrees of freedom wider than with many", () => {
    const read = (pointDegreesOfFreedom?: number) =>
      given(
        readSpan(
          BEFORE,
          AFTER,
          { ...SIMULATED, pointWidth: 0.25, ...(pointDegreesOfFreedom === undefined ? {} : { pointDegreesOfFreedom }) },
          "expansion",
        ).patterns[0]!,
      );
    const [assumed, repeated] = [read(), read(10)];
    const half = ({ low, high }: { low: number; high: number }) => (high - low) / 2;
    // Nothing but the hand's error: its degrees of freedom are those of every interval.
    const ratio95 = coverageFactor95(10) / NORMAL_95;
    const ratio90 = coverageFactor90(10) / coverageFactor90(Number.POSITIVE_INFINITY);
    for (const key of ["atCanines", "atMolars", "difference", "slopePer10mm"] as const) {
      expect(half(repeated[key]) / half(assumed[key]), key).toBeCloseTo(ratio95, 4);
    }
    expect(half(repeated.difference90) / half(assumed.difference90)).toBeCloseTo(ratio90, 4);
    expect(half(given(repeated.frontToBack).ratio)).toBeGreaterThan(half(given(assumed.frontToBack).ratio));
    expect(half(given(repeated.hinge))).toBeGreaterThan(half(given(assumed.hinge)));
    expect(repeated.band[3]![3] - repeated.band[3]![1]).toBeGreaterThan(assumed.band[3]![3] - assumed.band[3]![1]);
  });

  test("halves and crowns, whose frame comes from points", () => {
    const covariance = new Float64Array(36);
    for (let i = 0; i < 6; i++) covariance[7 * i] = 1e-6;
    const moved = (turn: number, shift: number): MovedHalf => ({
      transform: fromRotationVector([0.02, 0, turn], [shift, 0, 0]),
      covariance,
      centre: [0, 20, 10],
    });
    const halves: HalvesInput = {
      of: "palate",
      right: moved(-0.05, -2),
      left: moved(0.05, 2),
      toFrame: IDENTITY,
      front: { y: 8, height: 10, words: "the canines" },
      back: { y: 28, height: 16, words: "the first molars" },
      canines: 8,
      cusps: { canines: 8, molars: 28 },
      frameTurn: [0.03, 0.03, 0.06],
      stationError: 0.3,
    };
    const crown: CrownInput = {
      crown: moved(0.1, 1),
      axes: [
        [0, -1, 0],
        [1, 0, 0],
        [0, 0, -1],
      ],
      middle: [25, 30, 2],
      toFrame: IDENTITY,
      axesTurn: [0.05, 0.05, 0.1],
      share: 1,
      archLength: 20,
    };
    const few: Assumptions = { ...DEFAULT_SETTINGS, pointDegreesOfFreedom: 11 };
    const opening = readHalves(halves, few);
    const motion = crownMotion(crown, halfReference(moved(0, 0)), few);
    for (const q of [opening.atCanines, opening.atMolars, opening.openingAngle, motion.mesialTipping]) {
      expect(q.components.point).toBeGreaterThan(0);
      expect(q.coverageFactor).toBeGreaterThan(NORMAL_95);
      expect(q.coverageFactor).toBeCloseTo(expectedFactor(q, 11), 12);
    }
    const assumed = readHalves(halves, DEFAULT_SETTINGS);
    expect(assumed.atMolars.coverageFactor).toBe(NORMAL_95);
    const length = ({ low, high }: { low: number; high: number }) => high - low;
    expect(length(opening.difference)).toBeGreaterThan(length(assumed.difference));
    expect(length(given(opening.axis).behindCanines)).toBeGreaterThan(length(given(assumed.axis).behindCanines));
  });
});

test("with the hand's figure from 10 repeats, 95 % intervals of a change cover 95 % of 20,000 draws; 1.96 would not", () => {
  const normal = normalFrom(seededRandom(31));
  const [hand, scanner] = [0.25, 0.1];
  const draws = 20_000;
  let covered = 0;
  let byNormal = 0;
  for (let i = 0; i < draws; i++) {
    let squares = 0;
    for (let k = 0; k < 10; k++) squares += normal() ** 2;
    const found = hand * Math.sqrt(squares / 10);
    const value = Math.SQRT2 * (hand * normal() + scanner * normal());
    const change = quantity(value, { point: Math.SQRT2 * found, registration: 0, scanner: Math.SQRT2 * scanner }, 10);
    if (Math.abs(value) <= change.expandedUncertainty) covered++;
    if (Math.abs(value) <= NORMAL_95 * change.standardUncertainty) byNormal++;
  }
  expect(covered / draws).toBeGreaterThan(0.94);
  expect(covered / draws).toBeLessThan(0.96);
  expect(byNormal / draws).toBeLessThan(0.94);
});
