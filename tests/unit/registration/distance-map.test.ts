import { describe, expect, test } from "vitest";
import { fromRotationVector, IDENTITY, invert, type RigidTransform } from "#core/geometry/rigid-transform";
import { seededRandom } from "#core/geometry/seeded-random";
import { signedSurface } from "#core/mesh/signed-distance";
import { surfaceOf } from "#core/mesh/surface";
import { distanceMap, figuresOf, histogram } from "#core/registration/distance-map";
import { quantileOf, quantileOfSorted } from "#core/registration/quantile";
import { ball, moved, terrain } from "../mesh/surfaces";

const plate = (z: number, extent: readonly [number, number] = [0, 20]) =>
  surfaceOf(terrain(20, 20, { x: extent, y: extent }, () => z));

describe("the distance map of a plate 0.4 mm above another", () => {
  const earlier = signedSurface(plate(0));

  test("is +0.4 on its outer side, −0.4 on its inner side, wherever a foot lies inside the border", () => {
    const above = distanceMap(plate(0.4), earlier, IDENTITY);
    const below = distanceMap(plate(-0.4), earlier, IDENTITY);
    const inside = above.distances.filter((d) => !Number.isNaN(d));
    for (const d of inside) expect(d).toBeCloseTo(0.4, 12);
    // 21 × 21 vertices, of which those on the border stand over the border.
    expect(inside.length).toBe(19 * 19);
    expect(above.summary.valued).toBeCloseTo((19 * 19) / (21 * 21), 12);
    expect(above.summary.mean).toBeCloseTo(0.4, 12);
    expect(below.summary.mean).toBeCloseTo(-0.4, 12);
    expect(below.summary.rms).toBeCloseTo(0.4, 12);
  });

  test("has no value beyond the border, and the summary counts only the asked region", () => {
    const wide = plate(0.4, [-10, 30]);
    const region = Uint8Array.from({ length: 441 }, (_, v) => (wide.mesh.positions[3 * v]! >= 10 ? 1 : 0));
    const map = distanceMap(wide, earlier, IDENTITY, region);
    for (const [v, d] of map.distances.entries()) {
      const x = wide.mesh.positions[3 * v]!;
      const y = wide.mesh.positions[3 * v + 1]!;
      const over = x >= 10 && x < 19.9 && y > 0.1 && y < 19.9;
      expect(Number.isNaN(d)).toBe(!over);
    }
    expect(map.summary.valued).toBeCloseTo((5 * 9) / (11 * 21), 12);
  });

  test("is not computable where the scans lie apart", () => {
    expect(() => distanceMap(plate(30), earlier, IDENTITY)).toThrowError(
      expect.objectContaining({ code: "not-computable" }),
    );
  });

  test("stops when it is no longer wanted", () => {
    const job = { progress: () => {}, cancelled: () => true };
    expect(() => distanceMap(plate(0.4), earlier, IDENTITY, undefined, job)).toThrowError(
      expect.objectContaining({ code: "cancelled" }),
    );
  });
});

test("the robust scale is 1.4826 times the median distance from the median, and feet tell where from", () => {
  // Heights 0 to 2 mm in equal shares over a flat plate: median 1, median deviation 0.5.
  const slope = surfaceOf(terrain(20, 20, { x: [0, 20], y: [0, 20] }, (x) => 0.1 * x));
  const wide = signedSurface(surfaceOf(terrain(40, 40, { x: [-10, 30], y: [-10, 30] }, () => 0)));
  const { distances, feet, summary } = distanceMap(slope, wide, IDENTITY);
  expect(summary.valued).toBe(1);
  expect(summary.robustScale).toBeCloseTo(1.4826 * 0.5, 6);
  expect(figuresOf(distances.filter((d) => d > 1.95))!.mean).toBeCloseTo(2, 9);
  expect(figuresOf(distances.filter(() => false))).toBeNull();
  const p = slope.mesh.positions;
  const { triangles, positions } = wide.mesh;
  for (const [v, triangle] of feet.entries()) {
    const xs = [0, 1, 2].map((corner) => positions[3 * triangles[3 * triangle + corner]!]!);
    expect(p[3 * v]!).toBeGreaterThanOrEqual(Math.min(...xs));
    expect(p[3 * v]!).toBeLessThanOrEqual(Math.max(...xs));
  }
});

test("a ball grown by 0.5 mm shows +0.5 everywhere, its shrunken copy −0.5, in any pose", () => {
  const pose: RigidTransform = fromRotationVector([0.3, 1.4, -0.8], [50, 20, -70]);
  const earlier = signedSurface(surfaceOf(ball(10, 60, 40)));
  for (const change of [0.5, -0.5]) {
    const later = surfaceOf(moved(ball(10 + change, 61, 41), pose));
    const { distances, summary } = distanceMap(later, earlier, invert(pose));
    for (const d of distances) expect(Math.abs(d - change)).toBeLessThan(0.06);
    expect(summary.valued).toBe(1);
    expect(Math.abs(summary.mean - change)).toBeLessThan(0.03);
  }
});

test("the histogram puts every value into one class, and none without value", () => {
  const { edges, counts, below, above } = histogram(
    Float64Array.from([-3, -1, -0.5, 0, 0.49, 1, 1.01, Number.NaN]),
    1,
    4,
  );
  expect(edges).toEqual([-1, -0.5, 0, 0.5, 1]);
  expect(counts).toEqual([1, 1, 2, 1]);
  expect([below, above]).toEqual([1, 1]);
});

test("a quantile lies between its neighbours", () => {
  const values = Float64Array.from([1, 2, 4, 8]);
  expect(quantileOfSorted(values, 0)).toBe(1);
  expect(quantileOfSorted(values, 1)).toBe(8);
  expect(quantileOfSorted(values, 0.5)).toBe(3);
  expect(quantileOfSorted(new Float64Array(0), 0.5)).toBeNaN();
});

test("a quantile of unsorted values is that of the sorted ones to the last bit", () => {
  const random = seededRandom(8);
  expect(quantileOf(new Float64Array(0), 0.5)).toBeNaN();
  for (let n = 1; n < 60; n++) {
    // Of few different values, so that many are equal.
    const values = Float64Array.from({ length: n }, () => (n % 3 === 0 ? Math.floor(5 * random()) : random()));
    const sorted = values.slice().sort();
    for (const q of [0, 0.13, 0.5, 0.75, 0.9, 1]) {
      expect(quantileOf(values.slice(), q)).toBe(quantileOfSorted(sorted, q));
    }
  }
});
