import { describe, expect, test } from "vitest";
import { ratioInterval } from "#core/statistics/fieller";
import { fitCorrelatedLine, ofLine } from "#core/statistics/line-fit";
import { chiSquare95, coverageFactor95, effectiveDegreesOfFreedom, NORMAL_95 } from "#core/statistics/quantiles";

describe("quantiles", () => {
  test("Student's t, 97.5 % point with 16 degrees of freedom (Bland & Altman 1986, Lancet i:307-310, n = 17)", () => {
    expect(coverageFactor95(16)).toBeCloseTo(2.11991, 5);
  });

  // NIST/SEMATECH e-Handbook of Statistical Methods, tables 1.3.6.7.2 and 1.3.6.7.4.
  test.each([
    [1, 12.706, 3.841],
    [2, 4.303, 5.991],
    [3, 3.182, 7.815],
    [4, 2.776, 9.488],
    [5, 2.571, 11.07],
    [10, 2.228, 18.307],
  ])(
    "t and χ² with %i degrees of freedom (NIST/SEMATECH e-Handbook, tables 1.3.6.7.2 and 1.3.6.7.4)",
    (degrees, t, chi) => {
      expect(coverageFactor95(degrees)).toBeCloseTo(t, 3);
      expect(chiSquare95(degrees)).toBeCloseTo(chi, 2);
    },
  );

  test("assumed figures only: the normal's factor", () => {
    expect(coverageFactor95(effectiveDegreesOfFreedom([{ u: 0.3, degreesOfFreedom: Number.POSITIVE_INFINITY }]))).toBe(
      NORMAL_95,
    );
  });

  test("Welch–Satterthwaite: four equal components of four freedoms each have sixteen (GUM, JCGM 100:2008, G.4.1, G.2b)", () => {
    const parts = Array.from({ length: 4 }, () => ({ u: 0.5, degreesOfFreedom: 4 }));
    expect(effectiveDegreesOfFreedom(parts)).toBeCloseTo(16, 12);
  });
});

describe("line through correlated values", () => {
  const x = [0, 7, 14, 22, 32];

  test("with equal independent errors it is the ordinary regression line (closed form of its normal equations)", () => {
    const y = [6.1, 5.2, 4.0, 2.8, 0.8];
    const fit = fitCorrelatedLine(
      x,
      y,
      x.map((_, i) => x.map((__, j) => (i === j ? 0.09 : 0))),
    );
    const mean = (list: readonly number[]) => list.reduce((a, b) => a + b, 0) / list.length;
    const sxx = x.reduce((sum, value) => sum + (value - mean(x)) ** 2, 0);
    const sxy = x.reduce((sum, value, i) => sum + (value - mean(x)) * (y[i]! - mean(y)), 0);
    expect(fit.slope).toBeCloseTo(sxy / sxx, 12);
    expect(fit.intercept).toBeCloseTo(mean(y) - (sxy / sxx) * mean(x), 12);
    expect(Math.sqrt(fit.covariance[1][1])).toBeCloseTo(0.3 / Math.sqrt(sxx), 12);
    expect(ofLine(fit, 1, mean(x)).standardUncertainty).toBeCloseTo(0.3 / Math.sqrt(5), 12);
  });

  test("an error shared by all pairs moves the line but not its slope", () => {
    const own = x.map((_, i) => x.map((__, j) => (i === j ? 0.04 : 0)));
    const shared = own.map((row) => row.map((value) => value + 0.25));
    const y = [5, 4.6, 4.4, 3.8, 3.3];
    const a = fitCorrelatedLine(x, y, own);
    const b = fitCorrelatedLine(x, y, shared);
    expect(b.slope).toBeCloseTo(a.slope, 9);
    expect(b.covariance[1][1]).toBeCloseTo(a.covariance[1][1], 9);
    expect(b.covariance[0][0]).toBeCloseTo(a.covariance[0][0] + 0.25, 9);
  });
});

describe("Fieller's interval (Fieller 1954, J R Stat Soc B 16:175)", () => {
  test("its ends are where a − ρ·b lies exactly k standard errors from zero", () => {
    const ends = ratioInterval(5, 0.09, 2.8, 0.08, 0.01)!;
    for (const rho of [ends.low, ends.high]) {
      const variance = 0.09 - 2 * rho * 0.01 + rho * rho * 0.08;
      expect(Math.abs(5 - rho * 2.8) / Math.sqrt(variance)).toBeCloseTo(NORMAL_95, 9);
    }
  });

  test("a denominator within its error has no bounded interval", () => {
    expect(ratioInterval(5, 0.09, 0.3, 0.08, 0)).toBeNull();
  });
});
