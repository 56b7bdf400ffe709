import { beforeAll, describe, expect, test } from "vitest";
import type { Landmark } from "#core/arch/landmark";
import { seededRandom } from "#core/geometry/seeded-random";
import type { Readings, WidthLevel } from "#core/readings/readings-document";
import { coverageFactor95 } from "#core/statistics/quantiles";
import { marksOf, SampleCase } from "./sample-case";

const random = seededRandom(11);
/** Placed once more, within 0.3 mm in every direction. */
const again = (landmarks: readonly Landmark[]): Landmark[] =>
  landmarks.map((mark) => {
    const [x, y, z] = mark.at;
    const off = () => 0.6 * (random() - 0.5);
    return { ...mark, at: [x + off(), y + off(), z + off()] };
  });

/** The sample's landmarks used as placed: an examiner without help, whose hand is seen in full. */
const asPlaced = Object.fromEntries(
  Object.entries(marksOf("fan")).map(([name, { landmarks }]) => [
    name,
    { landmarks: landmarks.map((mark): Landmark => ({ ...mark, snap: false })) },
  ]),
);

describe("the invented expansion with its landmarks placed twice on both scans", () => {
  const sample = new SampleCase("fan");
  let readings: Readings;
  const measured = (examiner: string) =>
    sample.measure("before", "after", asPlaced, [], (document) => ({
      ...document,
      identity: { ...document.identity, examiner: "A. B." },
      timepoints: document.timepoints.map((timepoint) => ({
        ...timepoint,
        repeats: [{ examiner, landmarks: again(timepoint.landmarks) }],
      })),
    })).readings;
  beforeAll(async () => {
    for (const name of ["before", "after"]) await sample.open(name);
    readings = measured("A. B.");
  });
  const level = (name: WidthLevel) => readings.repeats!.levels.find((one) => one.level === name)!;
  const width = (of: Readings, name: WidthLevel) => {
    const before = of.widths.find((one) => one.pair === "6-6" && one.level === name)!.before;
    if (before.state === "withheld") throw new Error(before.reason.text);
    return before.reading;
  };

  test("five widths on two scans are ten pairs: the examiner's own error stands for the hand, with its factor", () => {
    const { widths, changes, pointFigure } = level("cusp-tip");
    if (widths.state === "withheld" || pointFigure.state === "withheld") throw new Error("given");
    expect(widths.reading.n).toBe(10);
    // Two points, each moved by up to 0.3 mm along the width: differences of √2 · 0.3/√3, an error of 0.17 mm each.
    expect(widths.reading.error).toBeLessThan(0.24);
    expect(widths.reading.error).toBeGreaterThan(0.08);
    expect(changes).toMatchObject({ state: "given", reading: { n: 5 } });
    // Welch and Satterthwaite with the scanner's part known: ν = 10·u⁴/p⁴.
    const { components, standardUncertainty, coverageFactor } = width(readings, "cusp-tip");
    expect(components.point).toBe(pointFigure.reading.pointWidth);
    const freedom = (10 * standardUncertainty ** 4) / components.point ** 4;
    expect(coverageFactor).toBeCloseTo(coverageFactor95(freedom), 9);
    expect(coverageFactor).toBeGreaterThan(1.97);
  });

  test("fewer than ten pairs leave the assumed figure, with the reason", () => {
    const { pointFigure } = level("mesiopalatal-cusp-tip");
    expect(pointFigure).toMatchObject({ state: "withheld", reason: { code: "too-few-repeats" } });
    expect(width(readings, "mesiopalatal-cusp-tip").components.point).toBe(readings.assumptions.pointWidth);
  });

  test("another examiner's repeats change nothing", () => {
    const other = measured("C. D.");
    expect(other.repeats).toBeNull();
    expect(width(other, "cusp-tip").components.point).toBe(0.25);
  });
});
