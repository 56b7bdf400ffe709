import { describe, expect, test } from "vitest";
import { DEFAULT_SETTINGS } from "#core/case/case-document";
import { seededRandom } from "#core/geometry/seeded-random";
import { examinerPointFigure, RepeatReadings, readRepeats, withRepeats } from "#core/readings/repeat-readings";
import { pointFigure } from "#core/readings/uncertainty";
import type { PointSet } from "#core/readings/width";
import { inventedPoints } from "./invented-arch";
import { normalFrom } from "./normal-draws";

const SPAN = { from: "before", to: "after" };

/** The invented arch placed by a hand whose widths have standard uncertainty u, and more at the gingiva. */
function placed(timepoint: string, widening: number, normal: () => number, u: number, gingival = u): PointSet {
  const set = inventedPoints(timepoint, () => widening);
  return {
    ...set,
    points: set.points.map((point) => {
      const size = (point.place === "palatal-gingival" ? gingival : u) / Math.SQRT2;
      return { ...point, at: [point.at[0] + size * normal(), point.at[1], point.at[2]] };
    }),
  };
}

describe("the examiner's own figures", () => {
  const normal = normalFrom(seededRandom(4));
  const sets = (timepoint: string, widening: number, count: number) => ({
    timepoint,
    sets: Array.from({ length: count }, () => placed(timepoint, widening, normal, 0.15, 0.4)),
  });

  test("come back from landmarks placed with known error, level by level", () => {
    const found = readRepeats([sets("before", 0, 200), sets("after", 5, 200)], SPAN);
    expect(RepeatReadings.parse(found)).toEqual(found);
    expect(found.levels.map(({ level }) => level)).toEqual(["cusp-tip", "palatal-gingival"]);
    for (const [i, u] of [0.15, 0.4].entries()) {
      const { widths, changes, pointFigure: figure } = found.levels[i]!;
      if (widths.state === "withheld" || changes.state === "withheld" || figure.state === "withheld") {
        throw new Error("withheld");
      }
      // Five pairs of teeth, two scans, a hundred pairs of sets each: the sampling error of a deviation is u/√(2n).
      expect(widths.reading.n).toBe(1000);
      expect(Math.abs(widths.reading.error - u)).toBeLessThan((4 * u) / Math.sqrt(2000));
      expect(figure.reading).toEqual({ pointWidth: widths.reading.error, degreesOfFreedom: 1000 });
      expect(changes.reading.n).toBe(500);
      expect(Math.abs(changes.reading.error - Math.SQRT2 * u)).toBeLessThan((4 * Math.SQRT2 * u) / Math.sqrt(1000));
      expect(widths.reading.bias.low).toBeLessThan(widths.reading.bias.value);
      expect(widths.reading.upper.value - widths.reading.lower.value).toBeGreaterThan(5 * u);
      expect(widths.reading.repeatability).toBeCloseTo(2.772 * widths.reading.error, 3);
      expect(changes.reading.smallestDetectableChange).toBeCloseTo(1.96 * changes.reading.error, 3);
    }
  });

  test("an odd set at the end is not used, and pairs that cannot be read are left out", () => {
    const found = readRepeats([sets("before", 0, 3)], SPAN);
    expect(found.levels[0]!.widths).toMatchObject({ state: "given", reading: { n: 5 } });
    expect(found.levels[0]!.changes).toMatchObject({ state: "withheld", reason: { code: "too-few-repeats" } });
    const [first, second] = sets("before", 0, 2).sets as [PointSet, PointSet];
    const less = { ...second, points: second.points.filter(({ tooth }) => tooth !== 16) };
    const without = readRepeats([{ timepoint: "before", sets: [first, less] }], SPAN);
    expect(without.levels[0]!.widths).toMatchObject({ state: "given", reading: { n: 4 } });
  });

  test("no repeats, no levels", () => {
    expect(readRepeats([sets("before", 0, 1)], SPAN)).toEqual({ levels: [] });
  });
});

describe("when the examiner's figure replaces the assumed one", () => {
  const repeated = (n: number) => Array.from({ length: n }, (_, i) => [40, 40 + (i % 2 === 0 ? 0.2 : -0.2)] as const);

  test("from ten pairs on, with as many degrees of freedom", () => {
    expect(examinerPointFigure(repeated(9))).toMatchObject({ state: "withheld", reason: { code: "too-few-repeats" } });
    const ten = examinerPointFigure(repeated(10));
    expect(ten).toMatchObject({ state: "given", reading: { degreesOfFreedom: 10 } });
    if (ten.state === "given") expect(ten.reading.pointWidth).toBeCloseTo(0.2 / Math.SQRT2, 9);
  });

  test("never from copies, which would claim to have no error", () => {
    expect(examinerPointFigure(Array.from({ length: 12 }, () => [40, 40] as const))).toMatchObject({
      state: "withheld",
      reason: { code: "repeats-do-not-differ" },
    });
  });

  test("one that repeats worse than assumed replaces it too", () => {
    const worse = examinerPointFigure(
      Array.from({ length: 10 }, (_, i) => [40, 40 + (i % 2 === 0 ? 0.6 : -0.6)] as const),
    );
    expect(worse.state === "given" && worse.reading.pointWidth > DEFAULT_SETTINGS.pointWidth).toBe(true);
  });

  test("level by level; a level with too few repeats keeps the assumed figure, and the scanner is left alone", () => {
    const figure = { state: "given", reading: { pointWidth: 0.14, degreesOfFreedom: 20 } } as const;
    const few = { state: "withheld", reason: { code: "too-few-repeats", text: "few" } } as const;
    const own = withRepeats(DEFAULT_SETTINGS, {
      levels: [
        { level: "cusp-tip", widths: few, changes: few, pointFigure: figure },
        { level: "palatal-gingival", widths: few, changes: few, pointFigure: few },
      ],
    });
    expect(pointFigure(own, "cusp-tip")).toEqual(figure.reading);
    expect(pointFigure(own)).toEqual(figure.reading);
    for (const level of ["palatal-gingival", "central-fossa"] as const) {
      expect(pointFigure(own, level)).toEqual({ pointWidth: 0.25, degreesOfFreedom: Number.POSITIVE_INFINITY });
    }
    expect(own.scanner).toEqual(DEFAULT_SETTINGS.scanner);
    expect(pointFigure(withRepeats(DEFAULT_SETTINGS, { levels: [] }))).toEqual({
      pointWidth: 0.25,
      degreesOfFreedom: Number.POSITIVE_INFINITY,
    });
  });
});
