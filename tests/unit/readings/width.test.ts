import { describe, expect, test } from "vitest";
import { DEFAULT_SETTINGS } from "#core/case/case-document";
import { DEGREES } from "#core/geometry/real";
import { fromRotationVector } from "#core/geometry/rigid-transform";
import type { WidthReading } from "#core/readings/readings-document";
import { readSpan } from "#core/readings/span-readings";
import { inventedPoints } from "./invented-arch";

const widthOf = (widths: readonly WidthReading[], pair: string, level: WidthReading["level"]) =>
  widths.find((w) => w.pair === pair && w.level === level)!;

describe("widths", () => {
  const read = readSpan(
    inventedPoints("before", () => 0),
    inventedPoints("after", (_, level) => (level === "cusp" ? 5 : 4)),
    DEFAULT_SETTINGS,
    "expansion",
  );

  test("inter-canine and inter-molar widths are straight distances between the named places", () => {
    const canines = widthOf(read.widths, "3-3", "cusp-tip");
    expect(canines.before).toMatchObject({ state: "given", reading: { value: 34 } });
    expect(canines.after).toMatchObject({ state: "given", reading: { value: 39 } });
    expect(canines.change).toMatchObject({ state: "given", reading: { value: 5 } });
    expect(widthOf(read.widths, "6-6", "cusp-tip").at).toBe("mesiobuccal cusp tips");
    expect(widthOf(read.widths, "6-6", "palatal-gingival").change).toMatchObject({ reading: { value: 4 } });
  });

  test("a change placed by hand carries point and scanner error by the root sum of squares", () => {
    const change = widthOf(read.widths, "6-6", "cusp-tip").change;
    if (change.state !== "given") throw new Error("withheld");
    const { components, standardUncertainty, expandedUncertainty } = change.reading;
    expect(components.point).toBeCloseTo(Math.SQRT2 * 0.25, 12);
    expect(components.scanner).toBeCloseTo(Math.sqrt(2 * (0.12 * 0.12 + 0.02 * 0.02)), 12);
    expect(standardUncertainty).toBeCloseTo(Math.hypot(components.point, components.scanner), 12);
    expect(expandedUncertainty).toBeCloseTo(1.959964 * standardUncertainty, 5);
  });

  test("the scanner's part alone gives about 0.35 mm at the first molars, as the definitions say", () => {
    const carried = readSpan(
      inventedPoints("before", () => 0),
      inventedPoints("after", () => 5),
      { ...DEFAULT_SETTINGS, pointWidth: 0 },
      "expansion",
    );
    const change = widthOf(carried.widths, "6-6", "cusp-tip").change;
    if (change.state !== "given") throw new Error("withheld");
    expect(change.reading.expandedUncertainty).toBeGreaterThan(0.32);
    expect(change.reading.expandedUncertainty).toBeLessThan(0.36);
  });

  test("a carried change keeps of the hand's error only tipping times placement error, and gets the registration's", () => {
    const covariance = [0.0009, 0, 0, 0, 0.04, 0, 0, 0, 0.04];
    const after = inventedPoints("after", () => 5);
    const tipped = (tooth: number | null): number => (tooth! < 20 ? 8 : -8);
    const read = readSpan(
      inventedPoints("before", () => 0),
      {
        ...after,
        points: after.points.map((point) => {
          const { rotation } = fromRotationVector([0, tipped(point.tooth) / DEGREES, 0]);
          return { ...point, carried: { covariance, rotation, origin: point.at, shares: [] } };
        }),
      },
      DEFAULT_SETTINGS,
      "expansion",
    );
    const { change, before, after: later } = widthOf(read.widths, "6-6", "cusp-tip");
    if (change.state !== "given" || before.state !== "given" || later.state !== "given") throw new Error("withheld");
    // The crowns tipped by 8 degrees each, so a point placed 0.25 / √2 mm off along the width is 2·sin 4° of that off.
    expect(change.reading.components.point).toBeCloseTo(0.25 * 2 * Math.sin(4 / DEGREES), 12);
    // 0.03 mm across the arch on each side; along the arch and upwards the error does not enter a width.
    expect(change.reading.components.registration).toBeCloseTo(Math.SQRT2 * 0.03, 12);
    expect(before.reading.components).toMatchObject({ point: 0.25, registration: 0 });
    expect(later.reading.components.registration).toBeCloseTo(Math.SQRT2 * 0.03, 12);
  });

  test("a landmark that stands on one scan only is asked for on the other, by tooth and place", () => {
    const without16 = inventedPoints(
      "after",
      () => 5,
      (tooth) => tooth !== 16,
    );
    const spans = readSpan(
      inventedPoints("before", () => 0),
      without16,
      DEFAULT_SETTINGS,
      "expansion",
    );
    const molars = widthOf(spans.widths, "6-6", "cusp-tip");
    expect(molars.change).toMatchObject({
      state: "withheld",
      reason: {
        code: "needs-landmark",
        text: "needs the mesiobuccal cusp tip of 16 on the after scan",
        needs: [{ timepoint: "after", tooth: 16, place: "mesiobuccal-cusp-tip" }],
      },
    });
    expect(molars.before.state).toBe("given");
    expect(spans.asked - spans.made).toBe(2); // the width at cusp and at gingival level
  });

  test("a tooth that is on neither scan is not asked for", () => {
    const no17 = (tooth: number) => tooth !== 17;
    const spans = readSpan(
      inventedPoints("before", () => 0, no17),
      inventedPoints("after", () => 5, no17),
      DEFAULT_SETTINGS,
      "expansion",
    );
    expect(spans.made).toBe(spans.asked);
    expect(widthOf(spans.widths, "7-7", "cusp-tip").change.state).toBe("withheld");
  });

  test("a change smaller than its own uncertainty is within measurement error", () => {
    const small = readSpan(
      inventedPoints("before", () => 0),
      inventedPoints("after", () => 0.5),
      DEFAULT_SETTINGS,
      "expansion",
    );
    expect(widthOf(small.widths, "3-3", "cusp-tip").withinMeasurementError).toBe(true);
    expect(widthOf(read.widths, "3-3", "cusp-tip").withinMeasurementError).toBe(false);
  });

  test("the headline names millimetres at canines and molars and the pattern", () => {
    expect(read.headline.map((part) => part.text).join("")).toBe(
      "Wider by 5.0 mm at the canines and 5.0 mm at the first molars: the arch changed parallel.",
    );
  });

  test("where no change exceeds its error, nothing is said to have changed parallel", () => {
    const steady = { ...DEFAULT_SETTINGS, pointWidth: 0 };
    const spans = readSpan(
      inventedPoints("before", () => 0),
      inventedPoints("after", (s) => 0.09 + 0.01 * s),
      { ...steady, scanner: { atCanines: 0.2, atMolars: 0.2, local: 0 } },
      "expansion",
    );
    expect(spans.headline.map((part) => part.text).join("")).toBe(
      "No change beyond measurement error at the canines and at the first molars: front and back are alike.",
    );
  });

  test("in retention the words are loss and gain, never fan", () => {
    const spans = readSpan(
      inventedPoints("after", () => 5),
      inventedPoints("in retention", () => 4),
      DEFAULT_SETTINGS,
      "retention",
    );
    const text = spans.headline.map((part) => part.text).join("") + spans.because;
    expect(text).toContain("Lost 1.0 mm at the canines");
    expect(text).not.toContain("fan");
  });
});
