import { describe, expect, test } from "vitest";
import { limitsOfAgreement, smallestDetectableChange, smallestDetectableOfChanges } from "#core/statistics/agreement";
import { dahlbergError } from "#core/statistics/dahlberg";
import type { RepeatedPair } from "#core/statistics/estimate";
import { intraclassCorrelation } from "#core/statistics/intraclass-correlation";

const tooFew = { state: "withheld", reason: "too-few" };
const noVariance = { state: "withheld", reason: "no-variance" };

describe("with too little to go by, figures of error are withheld", () => {
  test("fewer than two pairs", () => {
    expect(dahlbergError([])).toEqual(tooFew);
    expect(dahlbergError([[1, 2]])).toEqual(tooFew);
    expect(limitsOfAgreement([[1, 2]])).toEqual(tooFew);
  });

  test("copies, not readings: no difference anywhere", () => {
    const copied: RepeatedPair[] = [
      [34.1, 34.1],
      [50.2, 50.2],
    ];
    expect(dahlbergError(copied)).toEqual(noVariance);
    expect(limitsOfAgreement(copied)).toEqual(noVariance);
  });

  test("a bias alone is an error but has no limits", () => {
    const shifted: RepeatedPair[] = [
      [34.5, 34],
      [50.5, 50],
    ];
    expect(dahlbergError(shifted)).toMatchObject({
      state: "given",
      reading: { bias: 0.5, errorWithoutBias: 0, error: Math.sqrt(0.125) },
    });
    expect(limitsOfAgreement(shifted)).toEqual(noVariance);
  });

  test("intraclass correlation of one subject, of one reading each, of subjects all alike, of copies", () => {
    expect(intraclassCorrelation([])).toEqual(tooFew);
    expect(intraclassCorrelation([[1, 2, 3]])).toEqual(tooFew);
    expect(intraclassCorrelation([[1], [2]])).toEqual(tooFew);
    expect(
      intraclassCorrelation([
        [1, 2],
        [2, 1],
      ]),
    ).toEqual(noVariance);
    expect(
      intraclassCorrelation([
        [1, 1],
        [2, 2],
        [5, 5],
      ]),
    ).toEqual(noVariance);
    expect(() => intraclassCorrelation([[1, 2], [1]])).toThrow(RangeError);
  });
});

test("a change read once on each of two scans and the same change read as a whole have one limit", () => {
  // A change holds the error of both scans: √2 of that of a value.
  expect(smallestDetectableOfChanges(Math.SQRT2 * 0.25)).toBeCloseTo(smallestDetectableChange(0.25), 12);
});

test("the same error looks better against widths, which spread much, than against their changes", () => {
  const errors = [0.3, -0.2, 0.1, -0.3, 0.2, -0.1];
  const icc = (values: readonly number[]) => {
    const found = intraclassCorrelation(values.map((value, i) => [value, value + errors[i]!]));
    if (found.state === "withheld") throw new Error(found.reason);
    return found.reading.twoWayAgreement.value;
  };
  const widths = icc([31, 34, 37, 33, 36, 39]);
  const changes = icc([4.8, 5.2, 5.1, 4.9, 5.3, 5]);
  expect(widths).toBeGreaterThan(0.99);
  expect(changes).toBeLessThan(0.7);
});
