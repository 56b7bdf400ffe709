import { describe, expect, test } from "vitest";
import { atan, DEGREES } from "#core/geometry/real";
import { apply, fromRotationVector } from "#core/geometry/rigid-transform";
import type { Vector3 } from "#core/geometry/vector";
import { readSpan } from "#core/readings/span-readings";
import { readTipping } from "#core/readings/tipping";
import type { PointSet } from "#core/readings/width";
import { inventedPoints, SIMULATED } from "../unit/readings/invented-arch";

const tippingOf = (before: PointSet, after: PointSet) =>
  readTipping(before, after, readSpan(before, after, SIMULATED, "expansion").widths, new Set(), SIMULATED);

const value = (
  given: { state: "given"; reading: { value: number } } | { state: "withheld"; reason: { text: string } },
) => {
  if (given.state === "withheld") throw new Error(given.reason.text);
  return given.reading.value;
};

describe("gingival to cusp ratio of published mean changes", () => {
  // BMC Oral Health 2023 (PMC10463527), Table 2: rapid expansion, changes at crown and at dentoalveolar level, mm.
  const before = inventedPoints("before", () => 0);
  test.each([
    ["canines", "3-3", 4.18, 2.65, 0.634],
    ["first molars", "6-6", 5.32, 4.01, 0.754],
  ])("%s (PMC10463527, Table 2)", (_, pair, cusp, gingival, ratio) => {
    const after = inventedPoints("after", (_station, level) => (level === "cusp" ? cusp : gingival));
    const found = tippingOf(before, after).find((t) => t.pair === pair)!;
    expect(value(found.gingivalToCusp)).toBeCloseTo(ratio, 3);
  });
});

/** A right and a left first molar, cusp straight below its gingival point. */
function molars(timepoint: string, turn: (p: Vector3, side: 1 | -1) => Vector3, height: number): PointSet {
  const point = (tooth: number, place: "mesiobuccal-cusp-tip" | "palatal-gingival", p: Vector3, side: 1 | -1) => ({
    tooth,
    place,
    at: turn(p, side),
    inFrame: turn(p, side),
  });
  return {
    timepoint,
    faults: [],
    points: ([-1, 1] as const).flatMap((side) => [
      point(side < 0 ? 16 : 26, "mesiobuccal-cusp-tip", [side * 22, 20, 0], side),
      point(side < 0 ? 16 : 26, "palatal-gingival", [side * 22, 20, height], side),
    ]),
  };
}

describe("movements with a closed form, worked by hand (no published source)", () => {
  const tip =
    (degrees: number, pivot: number, height: number) =>
    (p: Vector3, side: 1 | -1): Vector3 =>
      apply(fromRotationVector([0, (-side * degrees) / DEGREES, 0], [0, 0, 0], [side * 22, 20, height + pivot]), p);
  const still = (p: Vector3): Vector3 => p;

  test("pure tipping about a point 5 mm above the gingival points, 6 mm above the cusps, has the ratio 5/11 = 0.45", () => {
    const [found] = tippingOf(molars("before", still, 6), molars("after", tip(4, 5, 6), 6));
    expect(value(found!.gingivalToCusp)).toBeCloseTo(5 / 11, 9);
    expect(value(found!.pivotAboveGingival)).toBeCloseTo(5, 9);
    expect(found!.height).toBeCloseTo(6, 12);
  });

  test("8 degrees of tipping about the gingival points are read as 8; the difference of the widths would say 7.92", () => {
    const [before, after] = [molars("before", still, 7), molars("after", tip(8, 0, 7), 7)];
    const [found] = tippingOf(before, after);
    expect(found!.anglesFromPoints.map(({ tooth, angle }) => [tooth, value(angle)])).toEqual([
      [16, expect.closeTo(8, 9)],
      [26, expect.closeTo(8, 9)],
    ]);
    const change = value(readSpan(before, after, SIMULATED, "expansion").widths[0]!.change);
    expect(atan(change / (2 * 7)) * DEGREES).toBeCloseTo(7.92, 2);
  });

  test("bodily movement has the ratio 1 and no pivot", () => {
    const [found] = tippingOf(
      molars("before", still, 6),
      molars("after", ([x, y, z], side) => [x + side * 2, y, z], 6),
    );
    expect(value(found!.gingivalToCusp)).toBeCloseTo(1, 12);
    expect(found!.pivotAboveGingival.state).toBe("withheld");
    expect(found!.anglesFromPoints.map(({ angle }) => value(angle))).toEqual([0, 0]);
  });
});
