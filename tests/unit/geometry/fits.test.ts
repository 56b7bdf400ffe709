import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { absoluteOrientation } from "#core/geometry/absolute-orientation";
import { fitCircle } from "#core/geometry/circle-fit";
import { fitLine } from "#core/geometry/line-fit";
import { fitPlane } from "#core/geometry/plane-fit";
import { apply, fromRotationVector } from "#core/geometry/rigid-transform";
import { distance, dot, length, type Vector3 } from "#core/geometry/vector";

const coordinate = fc.double({ min: -40, max: 40, noNaN: true });
const point = fc.tuple(coordinate, coordinate, coordinate);
const turn = fc.tuple(
  fc.double({ min: -1.7, max: 1.7, noNaN: true }),
  fc.double({ min: -1.7, max: 1.7, noNaN: true }),
  fc.double({ min: -1.7, max: 1.7, noNaN: true }),
);

test("a line through points that differ from one by less than any number can tell is found", () => {
  const points: Vector3[] = [
    [1e-310, 2, 9],
    [0, 14, 14],
    [0, 26, 16],
  ];
  const { direction } = fitLine(points);
  expect(Math.abs(direction[0])).toBeLessThan(1e-300);
  expect(length(direction)).toBeCloseTo(1, 12);
});

describe("absolute orientation", () => {
  test("finds any rigid motion back from four points that span space", () => {
    const corners: Vector3[] = [
      [0, 0, 0],
      [30, 0, 0],
      [0, 35, 0],
      [5, 5, 12],
    ];
    fc.assert(
      fc.property(turn, point, (vector, shift) => {
        const motion = fromRotationVector(vector, shift);
        const moved = corners.map((p) => apply(motion, p));
        const found = absoluteOrientation(corners, moved);
        for (const p of [...corners, [10, -20, 30] as Vector3]) {
          expect(distance(apply(found, p), apply(motion, p))).toBeLessThan(1e-11);
        }
      }),
      { seed: 5, numRuns: 200 },
    );
  });

  test("a heavier pair pulls the fit towards itself", () => {
    const from: Vector3[] = [
      [0, 0, 0],
      [10, 0, 0],
      [0, 10, 0],
    ];
    const to: Vector3[] = [
      [0, 0, 0],
      [10, 0, 1],
      [0, 10, 0],
    ];
    const even = distance(apply(absoluteOrientation(from, to), from[1]!), to[1]!);
    const pulled = distance(apply(absoluteOrientation(from, to, [1, 50, 1]), from[1]!), to[1]!);
    expect(pulled).toBeLessThan(even / 10);
  });

  test("two pairs, or pairs along one line, give no motion", () => {
    const line: Vector3[] = [
      [0, 0, 0],
      [1, 1, 1],
      [2, 2, 2],
      [5, 5, 5],
    ];
    expect(() => absoluteOrientation(line.slice(0, 2), line.slice(0, 2))).toThrow(/2 paired points/);
    expect(() => absoluteOrientation(line, line)).toThrow(/on one line/);
  });
});

describe("plane, line and circle", () => {
  test("a plane is found to rounding whatever its pose, and it turns with the points", () => {
    const flat: Vector3[] = [
      [0, 0, 0],
      [20, 0, 0],
      [3, 17, 0],
      [14, 9, 0],
      [-8, 4, 0],
    ];
    fc.assert(
      fc.property(turn, point, (vector, shift) => {
        const motion = fromRotationVector(vector, shift);
        const fit = fitPlane(flat.map((p) => apply(motion, p)));
        const normal: Vector3 = [motion.rotation[2], motion.rotation[5], motion.rotation[8]];
        expect(Math.abs(dot(fit.normal, normal))).toBeCloseTo(1, 10);
        expect(fit.rms).toBeLessThan(1e-6);
      }),
      { seed: 6, numRuns: 100 },
    );
    expect(() => fitPlane(flat.slice(0, 2))).toThrow(/2 points do not fix a plane/);
    expect(() => fitPlane([flat[0]!, [1, 0, 0], [2, 0, 0], [7, 0, 0]])).toThrow(/on one line/);
  });

  test("a line runs from the first of its points towards the last, at a root mean square distance", () => {
    const points: Vector3[] = [
      [0, 30, 0.1],
      [0, 20, -0.1],
      [0, 10, -0.1],
      [0, 0, 0.1],
    ];
    const fit = fitLine(points);
    expect(fit.direction[1]).toBeCloseTo(-1, 12);
    expect(fit.rms).toBeCloseTo(0.1, 12);
    expect(fit.spread).toBeCloseTo(Math.sqrt(125), 12);
    expect(length(fit.direction)).toBeCloseTo(1, 14);
    expect(() => fitLine([points[0]!])).toThrow(/1 points do not fix a line/);
    expect(() => fitLine([points[0]!, points[0]!])).toThrow(/coincide/);
  });

  test("points on a circle give that circle, points on a line none", () => {
    const fit = fitCircle([
      [5 + 13, 7],
      [5 + 5, 7 + 12],
      [5 - 12, 7 + 5],
      [5, 7 - 13],
    ]);
    expect(fit.centre[0]).toBeCloseTo(5, 10);
    expect(fit.centre[1]).toBeCloseTo(7, 10);
    expect(fit.radius).toBeCloseTo(13, 10);
    expect(() =>
      fitCircle([
        [0, 0],
        [1, 1],
        [4, 4],
      ]),
    ).toThrow(/on one line/);
  });
});
