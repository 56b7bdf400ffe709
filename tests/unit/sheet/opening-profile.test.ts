import { expect, test } from "vitest";
import { linearAxis, roundStep } from "#core/sheet/figures/axis";
import { openingProfileFigure } from "#core/sheet/figures/opening-profile";
import { inventedReadings } from "./invented-readings";

const size = { width: 240, height: 180 };

test("every pair measured at both times is a dot with its error bar", () => {
  const figure = openingProfileFigure(inventedReadings(), size);
  const dots = figure.primitives.filter((p) => p.kind === "marker" && p.size === 4.5);
  expect(dots).toHaveLength(8); // five pairs at the cusps, three at the gingiva; 7–7 gingival is withheld
});

test("each pair is named once, in the trade's dash", () => {
  const texts = openingProfileFigure(inventedReadings(), size).primitives.flatMap((p) =>
    p.kind === "text" && p.font === "sansStrong" ? [p.text] : [],
  );
  expect(texts).toEqual(["3–3", "4–4", "5–5", "6–6", "7–7"]);
});

test("front stands on the left: the canines' dot lies left of and above the molars' in a fan wider in front", () => {
  const figure = openingProfileFigure(inventedReadings(), size);
  const cusp = figure.primitives.flatMap((p) => (p.kind === "marker" && p.size === 4.5 && p.fill === "ink" ? [p] : []));
  expect(cusp[0]!.at[0]).toBeLessThan(cusp[3]!.at[0]);
  expect(cusp[0]!.at[1]).toBeLessThan(cusp[3]!.at[1]);
});

test("everything stays inside the figure", () => {
  const figure = openingProfileFigure(inventedReadings(), size);
  for (const p of figure.primitives) {
    const points = p.kind === "line" ? [p.from, p.to] : p.kind === "path" ? [] : [p.at];
    for (const [x, y] of points) {
      expect(x).toBeGreaterThanOrEqual(0);
      expect(x).toBeLessThanOrEqual(size.width);
      expect(y).toBeGreaterThanOrEqual(0);
      expect(y).toBeLessThanOrEqual(size.height);
    }
  }
});

test("dots are drawn before there is a pattern, and words stand there before there are dots", () => {
  const dotsOnly = openingProfileFigure(inventedReadings({ patterns: [] }), size);
  expect(dotsOnly.primitives.some((p) => p.kind === "path")).toBe(false);
  expect(dotsOnly.primitives.filter((p) => p.kind === "marker" && p.size === 4.5)).toHaveLength(8);
  const empty = openingProfileFigure(inventedReadings({ patterns: [], widths: [] }), size);
  expect(empty.description).toContain("No pair has been measured");
});

test("in retention the line has the retention colour and nothing is called a fan", () => {
  const readings = inventedReadings({ span: { from: "after", to: "in retention", words: "retention" } });
  const figure = openingProfileFigure(readings, size);
  expect(figure.primitives.some((p) => p.kind === "path" && p.stroke === "retention")).toBe(true);
  expect(figure.description).not.toContain("fan");
});

test("axes end on round ticks and hold the range", () => {
  expect(roundStep(0.3)).toEqual({ step: 0.5, decimals: 1 });
  expect(roundStep(1)).toEqual({ step: 1, decimals: 0 });
  expect(roundStep(7)).toEqual({ step: 10, decimals: 0 });
  const axis = linearAxis("round", -0.4, 6.6, 100, 0, 4);
  expect(axis.ticks).toEqual([-2, 0, 2, 4, 6, 8]);
  expect(axis.at(-2)).toBe(100);
  expect(axis.at(8)).toBe(0);
});
