import { describe, expect, test } from "vitest";
import { DEFAULT_SETTINGS } from "#core/case/case-document";
import type { Vector3 } from "#core/geometry/vector";
import type { PerimeterPrediction } from "#core/readings/arch-document";
import { readArch } from "#core/readings/arch-readings";
import { inventedArch, moving, type Spot, scanOf } from "../unit/readings/invented-full-arch";

/** Published rules for the gain of perimeter, on an invented arch whose widths and depth change by given amounts. */

/** Canines and molars apart by so much more, the molars' contacts forwards so that the depth changes. */
const changed = (canines: number, molars: number, depth: number): Spot[] =>
  moving(inventedArch(), ({ tooth, place, at: [x, y, z] }): Vector3 => {
    if (tooth === null) return [x, y, z];
    const digit = tooth % 10;
    const widening = digit === 3 ? canines : digit === 6 ? molars : 0;
    const shift = digit === 6 && place === "mesial-contact" ? depth : 0;
    return [x + (Math.sign(x) * widening) / 2, y + shift, z];
  });

function predictions(before: readonly Spot[], after: readonly Spot[]): Map<string, PerimeterPrediction> {
  const [first, second] = [before, after].map((spots, i) =>
    scanOf(["before", "after"][i]!, spots, DEFAULT_SETTINGS),
  ) as [ReturnType<typeof scanOf>, ReturnType<typeof scanOf>];
  const { arch } = readArch(first, second, new Set(), DEFAULT_SETTINGS);
  return new Map(arch.predictedPerimeters.map((prediction) => [prediction.method, prediction]));
}

function gainOf(prediction: PerimeterPrediction | undefined) {
  if (prediction?.gain.state !== "given") throw new Error("withheld");
  return prediction.gain.reading;
}

const CANINES_AND_DEPTH = "Braz Oral Res 2006";
const CANINES_BETWEEN_CHILDREN = "Bull Natl Res Cent 2021";
const RICKETTS_CANINES = "Ricketts 1982, canines";
const RICKETTS_MOLARS = "Ricketts 1982, molars";

describe("4 mm at the canines, 6 mm at the molars, 0.4 mm less depth", () => {
  const found = predictions(inventedArch(), changed(4, 6, -0.4));

  test("Braz Oral Res 2006 (S1806-83242006000100014, abstract): 0.54 × 4 + 0.87 × (−0.4) = 1.812", () => {
    expect(gainOf(found.get(CANINES_AND_DEPTH)).value).toBeCloseTo(1.812, 9);
  });

  test("Bull Natl Res Cent 2021 (s42269-021-00602-1, abstract): upper perimeter = 1.988 × canine width + 30.492", () => {
    const perimeter = (width: number) => 1.988 * width + 30.492;
    expect(gainOf(found.get(CANINES_BETWEEN_CHILDREN)).value).toBeCloseTo(perimeter(37) - perimeter(33), 9);
  });

  test("Ricketts 1982 (quoted in the same paper): 1 mm per mm at the canines, 0.25 mm per mm at the molars, not added", () => {
    expect(gainOf(found.get(RICKETTS_CANINES)).value).toBeCloseTo(4, 9);
    expect(gainOf(found.get(RICKETTS_MOLARS)).value).toBeCloseTo(1.5, 9);
  });

  test("each stands under its own source", () => {
    expect(found.size).toBe(4);
    expect(new Set([...found.values()].map(({ source }) => source)).size).toBe(4);
    for (const { source } of found.values()) expect(source).toMatch(/\b(19|20)\d\d\b/);
  });

  test("the uncertainty is that of the measured changes, times the coefficient", () => {
    // A change of width from points placed by hand on both scans and two scans of an assumed scanner (GUM 5.1.2).
    const width = gainOf(found.get(RICKETTS_CANINES));
    expect(width.components.point).toBeCloseTo(0.25 * Math.SQRT2, 3);
    expect(gainOf(found.get(CANINES_BETWEEN_CHILDREN)).standardUncertainty / width.standardUncertainty).toBeCloseTo(
      1.988,
      6,
    );
    // The depth stands on three points, of which those of the molars count half each: √1.5 of one point's error, twice.
    const depth = 0.87 * (0.25 / Math.SQRT2) * Math.sqrt(1.5) * Math.SQRT2;
    const both = Math.hypot(0.54 * width.components.point, depth);
    expect(gainOf(found.get(CANINES_AND_DEPTH)).components.point).toBeGreaterThan(both * 0.99);
    expect(gainOf(found.get(CANINES_AND_DEPTH)).components.point).toBeLessThan(both * 1.15);
  });
});

test("without its points a rule is withheld with the reason, and the others are given", () => {
  const without = changed(4, 6, -0.4).filter(({ tooth, place }) => !(tooth === 11 && place === "mesial-contact"));
  const found = predictions(inventedArch(), without);
  expect(found.get(CANINES_AND_DEPTH)!.gain).toMatchObject({
    state: "withheld",
    reason: { code: "needs-landmark", text: expect.stringContaining("mesial contact point of 11") },
  });
  expect(gainOf(found.get(RICKETTS_CANINES)).value).toBeCloseTo(4, 9);
});

test("nothing is predicted where neither the perimeter nor a rule has its points", () => {
  const others = inventedArch().filter(({ tooth }) => tooth === null || [4, 5, 7].includes(tooth % 10));
  expect(predictions(others, others).size).toBe(0);
});
