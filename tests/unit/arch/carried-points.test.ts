import { describe, expect, test } from "vitest";
import type { Carrier } from "#core/arch/carried-error";
import { carried, carriedBack, midway } from "#core/arch/carried-points";
import { compose, fromRotationVector, type RigidTransform } from "#core/geometry/rigid-transform";
import { seededRandom } from "#core/geometry/seeded-random";
import { distance, subtract, type Vector3 } from "#core/geometry/vector";

const CENTRE: Vector3 = [12, -4, 7];
const SIZES = [0.004, 0.002, 0.006, 0.02, 0.05, 0.01];
const covariance = new Float64Array(36);
for (let i = 0; i < 6; i++) covariance[7 * i] = SIZES[i]! ** 2;
const carrier: Carrier = {
  transform: fromRotationVector([0.3, -0.5, 0.9], [10, 3, -2]),
  covariance,
  centre: CENTRE,
};

/** The registration as it might have come out, drawn from its covariance. */
function drawn(random: () => number): RigidTransform {
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  const d = SIZES.map((size) => size * normal());
  return compose(fromRotationVector([d[0]!, d[1]!, d[2]!], [d[3]!, d[4]!, d[5]!], CENTRE), carrier.transform);
}

/** Covariance of points, row by row. */
function spread(points: readonly Vector3[]): number[] {
  const n = points.length;
  const mean = [0, 1, 2].map((k) => points.reduce((s, p) => s + p[k]!, 0) / n);
  return [0, 1, 2].flatMap((i) =>
    [0, 1, 2].map((j) => points.reduce((s, p) => s + (p[i]! - mean[i]!) * (p[j]! - mean[j]!), 0) / n),
  );
}

describe("a carried point", () => {
  const p: Vector3 = [4, 5, 6];
  const there = carried(p, carrier);

  test("carried there and back is where it was", () => {
    expect(distance(carriedBack(there.at, carrier).at, p)).toBeLessThan(1e-12);
  });

  test.each(["there", "back"] as const)("has the error that 20,000 draws of its registration give, %s", (way) => {
    const random = seededRandom(5);
    const here = way === "there" ? there : carriedBack(there.at, carrier);
    const points = Array.from({ length: 20_000 }, () => {
      const other = { ...carrier, transform: drawn(random) };
      return way === "there" ? carried(p, other).at : carriedBack(there.at, other).at;
    });
    const measured = spread(points);
    const largest = Math.max(...measured.map(Math.abs));
    here.error.covariance.forEach((value, i) => {
      expect(Math.abs(value - measured[i]!) / largest).toBeLessThan(0.03);
    });
  });

  test("midway between two halves goes with the motion between and has a quarter of the sum of their variances", () => {
    const between = midway(there, there, { ...carrier.transform, translation: [0, 0, 0] });
    const off = carrier.transform.translation;
    expect(distance(between.at, subtract(there.at, off))).toBeLessThan(1e-12);
    expect(between.error.covariance[0]).toBeCloseTo(there.error.covariance[0]! / 2, 15);
  });
});
