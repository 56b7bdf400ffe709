import { describe, expect, test } from "vitest";
import { DEFAULT_SETTINGS } from "#core/case/case-document";
import { verdictOf } from "#core/readings/pattern";
import type { Interval, PatternReading, Verdict } from "#core/readings/readings-document";
import { readSpan } from "#core/readings/span-readings";
import type { PointSet } from "#core/readings/width";
import { inventedPoints, SIMULATED } from "./invented-arch";

const still = inventedPoints("before", () => 0);

function cuspPattern(after: PointSet, settings = DEFAULT_SETTINGS, before = still): PatternReading {
  const found = readSpan(before, after, settings, "expansion").patterns[0]!;
  if (found.state === "withheld") throw new Error(found.reason.text);
  return found.reading;
}

describe("the pattern of the widening", () => {
  test("equal widening everywhere is parallel", () => {
    const pattern = cuspPattern(inventedPoints("after", () => 5));
    expect(pattern.verdict).toBe("parallel");
    expect(pattern.slopePer10mm.value).toBeCloseTo(0, 9);
    expect(pattern.openingAngleOfTeeth.value).toBeCloseTo(0, 9);
  });

  test("opens in front when the hinge lies behind the molars", () => {
    const pattern = cuspPattern(inventedPoints("after", (s) => 6 - 0.15 * s));
    expect(pattern.verdict).toBe("fan-front");
    expect(pattern.slopePer10mm.value).toBeCloseTo(-1.5, 9);
    expect(pattern.difference.value).toBeCloseTo(0.15 * 22, 9);
    expect(pattern.openingAngleOfTeeth.value).toBeCloseTo((2 * Math.atan(0.075) * 180) / Math.PI, 9);
    expect(pattern.hinge).toMatchObject({ state: "given" });
    if (pattern.hinge.state === "given") expect(pattern.hinge.reading.value).toBeCloseTo(40, 6);
    if (pattern.frontToBack.state === "given") {
      expect(pattern.frontToBack.reading.of).toBe("3-3 : 6-6");
      expect(pattern.frontToBack.reading.ratio.value).toBeCloseTo(6 / (6 - 0.15 * 22), 9);
    }
  });

  test("nothing moved, measured without error: no change", () => {
    expect(
      cuspPattern(
        inventedPoints("after", () => 0.1),
        SIMULATED,
      ).verdict,
    ).toBe("no-change");
  });

  test("nothing moved, placed by hand: the uncertainty does not allow 'no change' to be claimed for a drift", () => {
    expect(cuspPattern(inventedPoints("after", () => 0.35)).verdict).not.toBe("no-change");
  });

  test("a smaller arch is narrowed, whatever its slope", () => {
    expect(cuspPattern(inventedPoints("after", (s) => -4 + 0.1 * s)).verdict).toBe("narrowed");
  });

  test("a difference near the agreed 1.0 mm stays undecided when placed by hand", () => {
    const pattern = cuspPattern(inventedPoints("after", (s) => 5 - (0.8 / 22) * s));
    expect(pattern.verdict).toBe("undecided");
    expect(pattern.because).toContain("would decide it");
  });

  test("pairs that follow no line widen the band and are called irregular", () => {
    const zigzag = inventedPoints("after", (s) => (s === 7 || s === 22 ? 7 : 3));
    const pattern = cuspPattern(zigzag);
    expect(pattern.widened).toBe(true);
    expect(pattern.verdict).toBe("irregular");
  });

  test("with two pairs no freedom is left, and the propagated error stands", () => {
    const two = (tooth: number) => [3, 6].includes(tooth % 10);
    const pattern = cuspPattern(
      inventedPoints("after", (s) => 6 - 0.15 * s, two),
      DEFAULT_SETTINGS,
      inventedPoints("before", () => 0, two),
    );
    expect(pattern.degreesOfFreedom).toBe(0);
    expect(pattern.widened).toBe(false);
    expect(pattern.verdict).toBe("fan-front");
  });

  test("with one pair there is no pattern, and it says what is needed", () => {
    const one = (tooth: number) => tooth % 10 === 6;
    const spans = readSpan(
      inventedPoints("before", () => 0, one),
      inventedPoints("after", () => 5, one),
      DEFAULT_SETTINGS,
      "expansion",
    );
    expect(spans.patterns[0]).toMatchObject({ state: "withheld", reason: { code: "one-pair-only" } });
  });

  test("without canines the ratio is of the first premolars, under its own name", () => {
    const none = (tooth: number) => tooth % 10 !== 3;
    const pattern = cuspPattern(
      inventedPoints("after", (s) => 6 - 0.15 * s, none),
      DEFAULT_SETTINGS,
      inventedPoints("before", () => 0, none),
    );
    expect(pattern.frontToBack).toMatchObject({ state: "given", reading: { of: "4-4 : 6-6" } });
    expect(pattern.because).toContain("4–4");
  });

  test("a ratio is withheld where the molars hardly moved", () => {
    const pattern = cuspPattern(inventedPoints("after", (s) => 5 - (4.5 / 22) * s));
    expect(pattern.frontToBack).toMatchObject({ state: "withheld", reason: { code: "denominator-within-error" } });
  });

  test("scanner error that grows along the arch widens D though each width is exact", () => {
    const scanner = { ...SIMULATED, scanner: { atCanines: 0.05, atMolars: 0.12, local: 0 } };
    const pattern = cuspPattern(
      inventedPoints("after", () => 5),
      scanner,
    );
    // Fully correlated: D = Δ(3-3) − Δ(6-6) has u = √2·(0.12 − 0.05).
    expect((pattern.difference.high - pattern.difference.value) / 1.959964).toBeCloseTo(Math.SQRT2 * 0.07, 2);
  });
});

describe("the verdict's rules, in their order", () => {
  const i = (value: number, half: number): Interval => ({ value, low: value - half, high: value + half });
  const verdict = (d: number, u: number, front: number, back: number, irregular = false): Verdict =>
    verdictOf(
      i(d, 1.96 * u),
      i(d, 1.645 * u),
      i(front, 1.645 * u),
      i(back, 1.645 * u),
      i((front + back) / 2, 1.96 * u),
      irregular,
      1,
    );

  test.each<[string, Verdict, Verdict]>([
    ["no change before anything else", verdict(0.1, 0.1, 0.2, 0.1), "no-change"],
    ["narrowed before fan", verdict(-2, 0.1, -5, -3), "narrowed"],
    ["fan in front", verdict(1.2, 0.3, 5, 3.8), "fan-front"],
    ["significant but not beyond δ is not a fan", verdict(0.9, 0.2, 5, 4.1), "undecided"],
    ["beyond δ but within error is not a fan", verdict(1.2, 0.7, 5, 3.8), "undecided"],
    ["fan at the back", verdict(-2, 0.3, 3, 5), "fan-back"],
    ["parallel needs its 90 % interval inside ±δ", verdict(0.4, 0.3, 5, 4.6), "parallel"],
    ["irregular only where none of these holds", verdict(0.9, 0.3, 5, 4.1, true), "irregular"],
    ["a clear fan stays a fan though its pairs scatter", verdict(3, 0.3, 5, 2, true), "fan-front"],
  ])("%s", (_, found, expected) => {
    expect(found).toBe(expected);
  });
});
