import { describe, expect, test } from "vitest";
import { coverageFactor90, coverageFactor95, NORMAL_90, NORMAL_95 } from "#core/statistics/quantiles";

describe("coverage factors with many degrees of freedom", () => {
  // A hand's part that hardly counts leaves astronomically many: its fourth power stands in the denominator.
  test.each([1e8, 1e10, 1e16, 1e17, 1e18, 1e30, 1e300])("%d degrees of freedom give the normal's", (degrees) => {
    expect(coverageFactor95(degrees)).toBeCloseTo(NORMAL_95, 6);
    expect(coverageFactor90(degrees)).toBeCloseTo(NORMAL_90, 6);
  });

  test("and never less than it, falling towards it", () => {
    let last = Number.POSITIVE_INFINITY;
    for (let degrees = 1; degrees < 1e14; degrees *= 10) {
      expect(coverageFactor95(degrees)).toBeLessThanOrEqual(last);
      expect(coverageFactor95(degrees)).toBeGreaterThanOrEqual(NORMAL_95);
      last = coverageFactor95(degrees);
    }
  });
});
