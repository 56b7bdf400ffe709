import { describe, expect, test } from "vitest";
import { limitsOfAgreement, repeatabilityCoefficient, smallestDetectableChange } from "#core/statistics/agreement";
import { dahlbergError } from "#core/statistics/dahlberg";
import type { Estimate, RepeatedPair } from "#core/statistics/estimate";
import { intraclassCorrelation } from "#core/statistics/intraclass-correlation";
import { NORMAL_95 } from "#core/statistics/quantiles";

const of = <T>(estimate: Estimate<T>): T => {
  if (estimate.state === "withheld") throw new Error(estimate.reason);
  return estimate.reading;
};
const paired = (a: readonly number[], b: readonly number[]): RepeatedPair[] => a.map((value, i) => [value, b[i]!]);

/**
 * Peak flow (l/min) of 17 people, two meters, two readings each: raw data of Bland & Altman 1986, Lancet i:307-310.
 * Where the paper prints a figure from rounded ones, the value here is that computed from its raw data.
 */
const WRIGHT_1 = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427];
const WRIGHT_2 = [490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421];
const MINI_1 = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451];
const MINI_2 = [525, 415, 508, 444, 500, 625, 460, 390, 642, 432, 420, 605, 227, 467, 268, 370, 443];

describe("Bland & Altman 1986 (Lancet i:307-310), from its raw data", () => {
  const agreement = of(limitsOfAgreement(paired(WRIGHT_1, MINI_1)));

  test("bias, standard deviation and limits of agreement of the first readings", () => {
    expect(agreement.n).toBe(17);
    expect(agreement.bias.value).toBeCloseTo(-2.117647, 6);
    expect(agreement.standardDeviation).toBeCloseTo(38.76513, 6);
    expect(agreement.lower.value).toBeCloseTo(-78.095905, 6);
    expect(agreement.upper.value).toBeCloseTo(73.860611, 6);
  });

  test("95 % intervals of the bias and of both limits by t(16)", () => {
    expect(agreement.bias.low).toBeCloseTo(-22.05, 2);
    expect(agreement.bias.high).toBeCloseTo(17.81, 2);
    // The paper's limits lie 2 standard deviations from the bias.
    const printed = of(limitsOfAgreement(paired(WRIGHT_1, MINI_1), 2));
    expect(printed.lower.value).toBeCloseTo(-79.648, 3);
    expect(printed.lower.low).toBeCloseTo(-114.17, 2);
    expect(printed.lower.high).toBeCloseTo(-45.13, 2);
    expect(printed.upper.value).toBeCloseTo(75.413, 3);
    expect(printed.upper.low).toBeCloseTo(40.89, 2);
    expect(printed.upper.high).toBeCloseTo(109.93, 2);
    // Where the limits are put does not change their standard error, √(3/n)·SD.
    expect(agreement.lower.high - agreement.lower.low).toBeCloseTo(printed.lower.high - printed.lower.low, 9);
  });

  test.each([
    ["Wright", WRIGHT_1, WRIGHT_2, 15.3067, 4.9412, 15.3612, 42.428],
    ["mini", MINI_1, MINI_2, 19.9108, -2.8824, 20.4158, 55.19],
  ] as const)(
    "%s meter against itself: within-subject deviation (Dahlberg's error), bias, repeatability coefficient",
    (_, first, second, error, bias, withoutBias, coefficient) => {
      const repeated = of(dahlbergError(paired(first, second)));
      expect(repeated.error).toBeCloseTo(error, 4);
      expect(repeated.bias).toBeCloseTo(bias, 4);
      expect(repeated.errorWithoutBias).toBeCloseTo(withoutBias, 4);
      // Printed with the factor 1.96.
      expect((repeatabilityCoefficient(repeated.error) * 1.96) / NORMAL_95).toBeCloseTo(coefficient, 3);
    },
  );
});

describe("Shrout & Fleiss 1979 (Psychol Bull 86:420-428), six subjects by four judges", () => {
  const icc = of(
    intraclassCorrelation([
      [9, 2, 5, 8],
      [6, 1, 3, 2],
      [8, 4, 6, 8],
      [7, 1, 2, 6],
      [10, 5, 6, 9],
      [6, 2, 4, 7],
    ]),
  );

  test("mean squares", () => {
    expect(icc.subjects).toBe(6);
    expect(icc.readings).toBe(4);
    expect(icc.meanSquares.betweenSubjects).toBeCloseTo(11.241667, 6);
    expect(icc.meanSquares.withinSubjects).toBeCloseTo(6.263889, 6);
    expect(icc.meanSquares.betweenReadings).toBeCloseTo(32.486111, 6);
    expect(icc.meanSquares.residual).toBeCloseTo(1.019444, 6);
  });

  test.each([
    ["(1,1)", "oneWay", 0.165742, -0.132932, 0.72256],
    ["(2,1)", "twoWayAgreement", 0.289764, 0.018787, 0.761084],
    ["(3,1)", "twoWayConsistency", 0.714841, 0.342465, 0.945858],
    ["(1,k)", "oneWayOfMean", 0.442797, -0.884442, 0.912415],
    ["(2,k)", "twoWayAgreementOfMean", 0.620051, 0.071137, 0.927232],
    ["(3,k)", "twoWayConsistencyOfMean", 0.909316, 0.675675, 0.985892],
  ] as const)("form %s, %s, with its 95 %% interval", (_, form, value, low, high) => {
    expect(icc[form].value).toBeCloseTo(value, 6);
    expect(icc[form].low).toBeCloseTo(low, 6);
    expect(icc[form].high).toBeCloseTo(high, 6);
  });
});

test("a within-subject deviation of 0.25 mm detects changes from 0.693 mm (1.96·√2·s, Bland & Altman 1986)", () => {
  expect(smallestDetectableChange(0.25) / 0.25).toBeCloseTo(2.772, 3);
  expect(smallestDetectableChange(0.25, 4) / 0.25).toBeCloseTo(2.772 / 2, 3);
});
