import { describe, expect, test } from "vitest";
import type { Carrier } from "#core/arch/carried-error";
import { type CarriedPoint, carried, midway } from "#core/arch/carried-points";
import { palatalPoint } from "#core/arch/palatal-point";
import { exp, sin } from "#core/geometry/real";
import { fromRotationVector, IDENTITY } from "#core/geometry/rigid-transform";
import { seededRandom } from "#core/geometry/seeded-random";
import type { Vector3 } from "#core/geometry/vector";
import { UNWATCHED } from "#core/job-control";
import { closestPoint, newClosestPoint } from "#core/mesh/closest-point";
import { terrain } from "../mesh/surfaces";
import { prepare } from "../registration/changed-arch";
import { gaussian } from "../registration/invented-arch";

/** The halves opened by 4 mm; the tissue 3.5 mm to each side of x = 0.8 stretched between them. */
const OPENING = 4;
const MIDDLE = 0.8;
const WIDTH = 7;
const before = (x: number): number => {
  const inside = (x + (OPENING * MIDDLE) / WIDTH) / (1 + OPENING / WIDTH);
  return Math.abs(inside - MIDDLE) < WIDTH / 2 ? inside : x - Math.sign(inside - MIDDLE) * (OPENING / 2);
};
/** Where the ridge's material went. */
const TRUE_X = (-OPENING * MIDDLE) / WIDTH;
const NOISE = 0.02;

/** A ridge along y that is the same everywhere, on a vault. */
const ridge = (x: number): number => 0.6 * exp((-x * x) / 0.8) - 0.02 * x * x;

const half = (side: number): Carrier => {
  const covariance = new Float64Array(36);
  for (let i = 0; i < 3; i++) covariance[7 * i] = 0.001 ** 2;
  for (let i = 3; i < 6; i++) covariance[7 * i] = 0.01 ** 2;
  return {
    transform: fromRotationVector([0, 0, 0], [(side * OPENING) / 2, 0, 0]),
    covariance,
    centre: [8 * side, 0, 0],
  };
};

/** The ridge before and after, each scanned with noise. */
function scans(seed: number, changed: (x: number, y: number) => number = () => 0) {
  const random = seededRandom(seed);
  const scan = (height: (x: number, y: number) => number) =>
    prepare(terrain(80, 80, { x: [-10, 10], y: [-10, 10] }, (x, y) => height(x, y) + NOISE * gaussian(random)));
  return { from: scan((x) => ridge(x)), to: scan((x, y) => ridge(before(x)) + changed(x, y)) };
}

const PLACE: Vector3 = [0, 0.3, ridge(0)];
const halves = { toFrame: IDENTITY, right: half(-1), left: half(1), job: UNWATCHED };

function there(pair: ReturnType<typeof scans>): CarriedPoint {
  const found = palatalPoint(PLACE, { ...pair, ...halves, way: "along" });
  if ("away" in found) throw new Error(`${found.away} mm off the surface`);
  return found;
}

const deviation = ({ error }: CarriedPoint, axis: number): number => Math.sqrt(error.covariance[4 * axis]!);
/** What the tissue is trusted with where its surface tells nothing: a tenth of the opening across, a twentieth along. */
const ACROSS = 0.1 * OPENING;
const ALONG = 0.05 * OPENING;

describe.each([1, 2, 3])("a point of a smooth ridge that lies nearer to one half, scan noise %i", (seed) => {
  const pair = scans(seed);
  const found = there(pair);

  test("is found across it, where midway is 0.46 mm off", () => {
    expect(Math.abs(TRUE_X)).toBeGreaterThan(0.45);
    expect(Math.abs(found.at[0] - TRUE_X)).toBeLessThan(0.04);
    expect(deviation(found, 0)).toBeLessThan(0.04);
    expect(Math.abs(found.at[0] - TRUE_X)).toBeLessThan(3 * deviation(found, 0));
  });

  test("stays midway along it, and its covariance says that nothing holds it there, noise or not", () => {
    expect(Math.abs(found.at[1] - PLACE[1])).toBeLessThan(0.05);
    expect(deviation(found, 1)).toBeGreaterThan(0.95 * ALONG);
    expect(deviation(found, 1)).toBeLessThan(1.01 * Math.hypot(ALONG, 0.01));
  });

  test("is carried back to where it was", () => {
    const back = palatalPoint(found.at, { ...halves, from: pair.to, to: pair.from, way: "against" });
    if ("away" in back) throw new Error(`${back.away} mm off the surface`);
    expect(Math.abs(back.at[0])).toBeLessThan(0.08);
    expect(Math.abs(back.at[1] - PLACE[1])).toBeLessThan(0.08);
  });

  test("has the error that its shares in the registrations and its own add up to", () => {
    const { shares, covariance } = found.error;
    expect(shares.length).toBe(3);
    const sum = new Array<number>(9).fill(0);
    for (const { carrier, jacobian } of shares)
      for (let a = 0; a < 3; a++)
        for (let b = 0; b < 3; b++)
          for (let i = 0; i < 6; i++)
            for (let j = 0; j < 6; j++)
              sum[3 * a + b]! += jacobian[6 * a + i]! * carrier.covariance[6 * i + j]! * jacobian[6 * b + j]!;
    for (const [i, value] of sum.entries()) expect(value).toBeCloseTo(covariance[i]!, 12);
  });
});

test("where the surface changed the point stays midway, with the tissue's uncertainty", () => {
  const pair = scans(1, (x, y) => 0.4 * sin(3 * x) * sin(3 * y));
  const found = there(pair);
  const dropped = newClosestPoint();
  closestPoint(pair.to.tree, ...PLACE, dropped);
  expect(found.at).toEqual([dropped.x, dropped.y, dropped.z]);
  expect(deviation(found, 0)).toBeCloseTo(Math.hypot(ACROSS, 0.01 / Math.SQRT2), 4);
  expect(deviation(found, 1)).toBeCloseTo(Math.hypot(ALONG, 0.01 / Math.SQRT2), 4);
});

test("where nothing opened the point goes with the halves, no less certain than they are", () => {
  const random = seededRandom(4);
  const scan = () =>
    prepare(terrain(80, 80, { x: [-10, 10], y: [-10, 10] }, (x) => ridge(x) + NOISE * gaussian(random)));
  const still = { ...half(1), transform: IDENTITY };
  const found = palatalPoint(PLACE, {
    ...halves,
    from: scan(),
    to: scan(),
    right: { ...still },
    left: { ...still },
    way: "along",
  });
  if ("away" in found) throw new Error(`${found.away} mm off the surface`);
  expect(Math.abs(found.at[0])).toBeLessThan(0.02);
  expect(Math.abs(found.at[1] - PLACE[1])).toBeLessThan(0.02);
  const halfway = midway(carried(PLACE, still), carried(PLACE, still), IDENTITY);
  for (const axis of [0, 1, 2]) expect(deviation(found, axis)).toBeLessThan(deviation(halfway, axis));
});
