import { describe, expect, test } from "vitest";
import { type CaseDocument, DEFAULT_SETTINGS, emptyCase } from "#core/case/case-document";
import { emptyTimepoint } from "#core/case/timepoint";
import { fromRotationVector, rotate } from "#core/geometry/rigid-transform";
import { seededRandom } from "#core/geometry/seeded-random";
import { WIDTHS } from "#core/readings/catalogue";
import type { Given } from "#core/readings/readings-document";
import { readRetention } from "#core/readings/retention";
import type { RetentionReading, RetentionWidth } from "#core/readings/retention-document";
import { GAIN, LOSS, sharedErrors, type Weights } from "#core/readings/shared-scan";
import { readSpan } from "#core/readings/span-readings";
import type { Assumptions } from "#core/readings/uncertainty";
import type { PointSet } from "#core/readings/width";
import { inventedPoints, SIMULATED } from "./invented-arch";

const of = <T>(given: Given<T>): T => {
  if (given.state === "withheld") throw new Error(given.reason.text);
  return given.reading;
};

/** Widening of 6 mm everywhere, of which a share is lost again at the cusps only. */
const BEFORE = inventedPoints("before", () => 0);
const END = inventedPoints("after", () => 6);
const kept = (lost: number) => inventedPoints("in retention", (_, level) => (level === "cusp" ? 6 - lost : 6));

function read(
  retention: PointSet,
  {
    before = BEFORE as PointSet | null,
    assumptions = SIMULATED as Assumptions,
    document = {} as Partial<CaseDocument>,
    details = {},
  } = {},
): RetentionReading {
  const { widths } = readSpan(END, retention, assumptions, "retention");
  const visit = emptyTimepoint("in retention", "retention", "2026-11-24");
  return readRetention(
    { ...emptyCase(), ...document },
    {
      end: { date: "2026-05-28" },
      retention: { ...visit, details: { ...visit.details, ...details } },
      points: [END, retention],
      widths,
      before,
    },
    assumptions,
  );
}

const widthOf = ({ widths }: RetentionReading, pair: string, level: RetentionWidth["level"]): RetentionWidth =>
  widths.find((w) => w.pair === pair && w.level === level)!;

describe("loss since the end of turning", () => {
  test("is W(end) − W(retention), and its share that of W(end) − W(before), at both levels", () => {
    const reading = read(kept(1.5));
    const cusp = widthOf(reading, "6-6", "cusp-tip");
    expect(of(cusp.gain).value).toBeCloseTo(6, 12);
    expect(of(cusp.loss).value).toBeCloseTo(1.5, 12);
    expect(of(cusp.percent).value).toBeCloseTo(25, 10);
    const gingival = widthOf(reading, "6-6", "palatal-gingival");
    expect(of(gingival.loss).value).toBe(0);
    expect(of(gingival.percent).value).toBe(0);
  });

  test("a gain in retention is a negative loss", () => {
    expect(of(widthOf(read(kept(-0.6)), "3-3", "cusp-tip").percent).value).toBeCloseTo(-10, 10);
  });

  test("counts the days from the scan at the end of turning, and from the last recorded turn", () => {
    expect(read(kept(1)).days).toBe(180);
    expect(read(kept(1)).daysSinceTurning).toBeNull();
    const empty = emptyCase().identity;
    const expander = {
      ...empty.expander,
      phases: [{ direction: "opening" as const, turns: 24, from: "2026-03-05", to: "2026-05-18" }],
    };
    expect(read(kept(1), { document: { identity: { ...empty, expander } } }).daysSinceTurning).toBe(190);
  });

  test("within measurement error stays so named, with the default figures", () => {
    const assumptions = DEFAULT_SETTINGS;
    const small = widthOf(read(kept(0.5), { assumptions }), "6-6", "cusp-tip");
    expect(small.withinMeasurementError).toBe(true);
    expect(widthOf(read(kept(2), { assumptions }), "6-6", "cusp-tip").withinMeasurementError).toBe(false);
  });

  test("has no share where the gain is not beyond its own error, nor without a scan from before", () => {
    const before = inventedPoints("before", () => 5.6);
    const { percent, loss } = widthOf(read(kept(0.5), { assumptions: DEFAULT_SETTINGS, before }), "6-6", "cusp-tip");
    expect(loss.state).toBe("given");
    expect(percent).toMatchObject({ state: "withheld", reason: { code: "gain-within-error" } });
    const none = widthOf(read(kept(0.5), { before: null }), "6-6", "cusp-tip");
    expect(none.loss.state).toBe("given");
    expect(none.percent).toMatchObject({ state: "withheld", reason: { code: "needs-scan" } });
  });

  test("names a loss down to the planned over-correction, at the first molars or where the target was set", () => {
    const plan = { target: null, overCorrection: 2, expectedLossPercent: null };
    const at = (lost: number, more: Partial<CaseDocument["plan"]> = {}, pair = "6-6") =>
      widthOf(read(kept(lost), { document: { plan: { ...plan, ...more } } }), pair, "cusp-tip").overCorrection;
    expect(at(1.5)).toBe("within");
    expect(at(2.5)).toBe("beyond");
    expect(at(-0.5)).toBeNull();
    const near = read(kept(2.2), { document: { plan }, assumptions: DEFAULT_SETTINGS });
    expect(widthOf(near, "6-6", "cusp-tip").overCorrection).toBe("about");
    expect(at(1.5, {}, "3-3")).toBeNull();
    expect(at(1.5, { overCorrection: null })).toBeNull();
    expect(at(1.5, { target: { pair: "3-3", level: "cusp-tip", millimetres: 6 } }, "3-3")).toBe("within");
    expect(at(1.5, { target: { pair: "3-3", level: "cusp-tip", millimetres: 6 } })).toBeNull();
  });

  test("carries what was entered for the scan in retention", () => {
    const reading = read(kept(1), { details: { fixedApplianceActive: true, uprightingIntended: true } });
    expect([reading.fixedApplianceActive, reading.uprightingIntended]).toEqual([true, true]);
  });
});

describe("errors of three scans that share one", () => {
  const definition = WIDTHS.find((w) => w.pair.name === "6-6" && w.level === "cusp-tip")!;
  const ASSUMED: Assumptions = { ...DEFAULT_SETTINGS, scanner: { atCanines: 0.05, atMolars: 0.12, local: 0.02 } };

  test("placed by hand on each: loss and gain share the middle scan's variance", () => {
    const errors = sharedErrors([BEFORE, END, kept(1)], definition, ASSUMED, 1);
    const one = 0.25 ** 2 + 0.12 ** 2 + 0.02 ** 2;
    expect(errors.covariance(LOSS, GAIN)).toBeCloseTo(one, 12);
    expect(errors.covariance(GAIN, GAIN)).toBeCloseTo(2 * one, 12);
    expect(errors.components(LOSS).point).toBeCloseTo(Math.SQRT2 * 0.25, 12);
    // The change of a span of its own has the same components.
    const { widths } = readSpan(END, kept(1), ASSUMED, "retention");
    const change = of(widths.find((w) => w.pair === "6-6" && w.level === "cusp-tip")!.change);
    expect(errors.components(LOSS).point).toBeCloseTo(change.components.point, 12);
    expect(errors.components(LOSS).scanner).toBeCloseTo(change.components.scanner, 12);
  });

  /** The set's points as carried from another scan by a rotation of each crown. */
  const carriedBy = (set: PointSet, degrees: number): PointSet => ({
    ...set,
    points: set.points.map((point) => {
      const { rotation } = fromRotationVector([0, (point.tooth! < 20 ? 1 : -1) * (degrees / 57.29578), 0]);
      return { ...point, carried: { ...NO_SPREAD, rotation } };
    }),
  });
  const NO_SPREAD = { covariance: [0, 0, 0, 0, 0, 0, 0, 0, 0], origin: [0, 0, 0] as const, shares: [] };

  test.each([
    ["by hand on each", [BEFORE, END, kept(1)], [0, 1, 2]],
    ["on the end, carried to retention", [BEFORE, END, carriedBy(kept(1), 6)], [0, 1, 1]],
    ["in retention, carried to the end", [BEFORE, carriedBy(END, 6), kept(1)], [0, 2, 2]],
    ["on the first, carried to both others", [BEFORE, carriedBy(END, 8), carriedBy(kept(1), 3)], [0, 0, 0]],
  ] as const)("placed %s: as many draws of the hand and the scanner give", (_, scans, placedOn) => {
    const errors = sharedErrors(scans, definition, ASSUMED, 1);
    const random = seededRandom(7);
    const normal = () => {
      let sum = -6;
      for (let i = 0; i < 12; i++) sum += random();
      return sum;
    };
    const draws = 20_000;
    const sums = { gain: 0, loss: 0, both: 0 };
    for (let n = 0; n < draws; n++) {
      const hand = [0, 1, 2].map(() =>
        [16, 26].map(() => [normal(), normal(), normal()].map((x) => (x * 0.25) / Math.SQRT2)),
      );
      const widths = scans.map((set, scan) => {
        const [right, left] = [16, 26].map((tooth, side) => {
          const point = set.points.find((p) => p.tooth === tooth && p.place === definition.place)!;
          const error = hand[placedOn[scan]!]![side]! as unknown as Weights;
          const turned =
            point.carried === undefined
              ? error
              : rotate({ rotation: point.carried.rotation, translation: [0, 0, 0] }, error);
          return point.at.map((x, axis) => x + turned[axis]!);
        });
        const scanner = Math.sqrt(0.12 ** 2 + 0.02 ** 2) * normal();
        return Math.hypot(...right!.map((x, axis) => left![axis]! - x)) + scanner;
      });
      const gain = widths[1]! - widths[0]! - 6;
      const loss = widths[1]! - widths[2]! - 1;
      sums.gain += gain * gain;
      sums.loss += loss * loss;
      sums.both += gain * loss;
    }
    const near = (sum: number, expected: number, scale: number) =>
      expect(Math.abs(sum / draws - expected)).toBeLessThan(0.05 * scale);
    const [varianceGain, varianceLoss] = [errors.covariance(GAIN, GAIN), errors.covariance(LOSS, LOSS)];
    near(sums.gain, varianceGain, varianceGain);
    near(sums.loss, varianceLoss, varianceLoss);
    near(sums.both, errors.covariance(LOSS, GAIN), Math.sqrt(varianceGain * varianceLoss));
  });

  test("the shared scan narrows the interval of the share", () => {
    const wide = read(kept(1.5), { assumptions: ASSUMED });
    const { low, high } = of(widthOf(wide, "6-6", "cusp-tip").percent);
    // Independent errors would give u of about √(1 + 0.25²)·0.39/6 = 6.8 %; with the shared scan it is 5.9 %.
    expect((high - low) / 2).toBeLessThan(12.5);
    expect((high - low) / 2).toBeGreaterThan(10.5);
  });
});

describe("the headline in retention", () => {
  const headline = (lost: readonly [canines: number, molars: number]) => {
    const retention = inventedPoints("in retention", (station) => 6 - (station === 0 ? lost[0] : lost[1]));
    return readSpan(END, retention, DEFAULT_SETTINGS, "retention")
      .headline.map(({ text }) => text)
      .join("");
  };

  test.each([
    [[1.1, 0.9], "Lost 1.1 mm at the canines and 0.9 mm at the first molars since the end of turning."],
    [[-1.1, -0.9], "Gained 1.1 mm at the canines and 0.9 mm at the first molars since the end of turning."],
    [
      [1.1, 0.3],
      "Lost 1.1 mm at the canines and 0.3 mm (within measurement error) at the first molars since the end of turning.",
    ],
    [[1.1, -0.9], "Lost 1.1 mm at the canines and gained 0.9 mm at the first molars since the end of turning."],
    [[0.2, 0.1], "No change beyond measurement error at the canines and at the first molars since the end of turning."],
  ] as const)("%s mm lost", (lost, words) => {
    expect(headline(lost)).toBe(words);
  });
});
