import { describe, expect, test } from "vitest";
import { fitCircle } from "#core/geometry/circle-fit";
import { fitPlane } from "#core/geometry/plane-fit";
import type { Vector3 } from "#core/geometry/vector";

describe("Gander, Golub & Strebel 1994 (BIT 34:558-578)", () => {
  test("the geometric circle through their six points", () => {
    const fit = fitCircle([
      [1, 7],
      [2, 6],
      [5, 8],
      [7, 7],
      [9, 5],
      [3, 7],
    ]);
    expect(fit.centre[0]).toBeCloseTo(4.739782, 6);
    expect(fit.centre[1]).toBeCloseTo(2.983533, 6);
    expect(fit.radius).toBeCloseTo(4.714226, 6);
    expect(fit.squaredError).toBeCloseTo(1.227599, 6);
  });
});

describe("the orthogonal plane, after Shakarji 1998 (J Res NIST 103:633-641)", () => {
  test("passes through the centroid, normal to the direction of least spread", () => {
    // A 4 × 2 rectangle in the plane z = 0, its corners raised and lowered by 0.3 in turn: by symmetry the plane stays.
    const corners: Vector3[] = [
      [-2, -1, 0.3],
      [2, -1, -0.3],
      [2, 1, 0.3],
      [-2, 1, -0.3],
    ];
    const fit = fitPlane(corners);
    expect(fit.centre).toEqual([0, 0, 0]);
    expect(Math.abs(fit.normal[2])).toBeCloseTo(1, 12);
    expect(fit.rms).toBeCloseTo(0.3, 12);
    expect(fit.spread[0]).toBeCloseTo(2, 12);
    expect(fit.spread[1]).toBeCloseTo(1, 12);
  });
});
