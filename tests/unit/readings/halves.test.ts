import { describe, expect, test } from "vitest";
import { halfMotion } from "#core/geometry/half-motion";
import { DEGREES } from "#core/geometry/real";
import {
  apply,
  compose,
  fromRotationVector,
  IDENTITY,
  invert,
  type RigidTransform,
  rotationVector,
} from "#core/geometry/rigid-transform";
import { seededRandom } from "#core/geometry/seeded-random";
import { distance, type Vector3 } from "#core/geometry/vector";
import { type HalvesInput, type MovedHalf, readHalves } from "#core/readings/halves";

/** Invented halves: exact motions in the arch frame, seen through two arbitrary file poses. */
const POSES = {
  before: fromRotationVector([0.4, -0.3, 1.1], [30, -12, 50]),
  after: fromRotationVector([-0.6, 0.2, -0.8], [-10, 22, 5]),
};
const ASSUMED = { pointWidth: 0.25, scanner: { atCanines: 0.05, atMolars: 0.12, local: 0.02 }, delta: 1 };
const EXACT = { pointWidth: 0, scanner: { atCanines: 0, atMolars: 0, local: 0 }, delta: 1 };

/** Errors of 0.02 mm and 0.06 degrees, of a fit in the middle of its half. */
const COVARIANCE = new Float64Array(36);
for (let i = 0; i < 6; i++) COVARIANCE[7 * i] = i < 3 ? (0.06 / DEGREES) ** 2 : 0.02 ** 2;

const moved = (motion: RigidTransform, middle: Vector3, covariance = COVARIANCE): MovedHalf => ({
  transform: compose(POSES.after, compose(motion, invert(POSES.before))),
  covariance,
  centre: apply(POSES.after, apply(motion, middle)),
});

const halves = (right: RigidTransform, left: RigidTransform, more: Partial<HalvesInput> = {}): HalvesInput => ({
  of: "palate",
  right: moved(right, [-9, 18, 15]),
  left: moved(left, [9, 18, 15]),
  toFrame: invert(POSES.before),
  front: { y: 8, height: 10, words: "the canines" },
  back: { y: 28, height: 16, words: "the first molars" },
  canines: 8,
  cusps: { canines: 8, molars: 28 },
  frameTurn: [0, 0, 0],
  stationError: 0,
  ...more,
});

const turned = (degrees: Vector3, about: Vector3 = [0, 0, 0], shift: Vector3 = [0, 0, 0]): RigidTransform =>
  fromRotationVector(degrees.map((d) => d / DEGREES) as unknown as Vector3, shift, about);
const shifted = (shift: Vector3): RigidTransform => ({ ...IDENTITY, translation: shift });

/** The same arch seen in a mirror: what was right is left. */
const mirrored = ({ rotation: r, translation: t }: RigidTransform): RigidTransform => ({
  rotation: [r[0], -r[1], -r[2], -r[3], r[4], r[5], -r[6], r[7], r[8]],
  translation: [-t[0], t[1], t[2]],
});

describe("signs of the halves' motion", () => {
  test("halves moved apart by 4 mm opened by 4 mm at canines and molars, whichever side moved", () => {
    for (const [right, left] of [
      [shifted([-2, 0, 0]), shifted([2, 0, 0])],
      [IDENTITY, shifted([4, 0, 0])],
      [shifted([-4, 0, 0]), IDENTITY],
    ] as const) {
      const reading = readHalves(halves(right, left), ASSUMED);
      expect(reading.atCanines.value).toBeCloseTo(4, 9);
      expect(reading.atMolars.value).toBeCloseTo(4, 9);
      expect(reading.openingAngle.value).toBeCloseTo(0, 9);
      expect(reading.verdict).toBe("parallel");
      expect(reading.axis.state).toBe("withheld");
    }
  });

  test("a fan of 3 degrees to each side about a hinge at the back opens by 6 degrees, its axis at the hinge", () => {
    const hinge: Vector3 = [0, 45, 0];
    const reading = readHalves(halves(turned([0, 0, -3], hinge), turned([0, 0, 3], hinge)), ASSUMED);
    expect(reading.openingAngle.value).toBeCloseTo(6, 9);
    expect(reading.atCanines.value).toBeCloseTo(2 * 37 * Math.sin(3 / DEGREES), 9);
    expect(reading.atMolars.value).toBeCloseTo(2 * 17 * Math.sin(3 / DEGREES), 9);
    expect(reading.verdict).toBe("fan-front");
    expect(reading.roll.value).toBeCloseTo(0, 9);
    if (reading.axis.state === "withheld") throw new Error(reading.axis.reason.text);
    const { behindCanines, toLeft } = reading.axis.reading;
    expect(behindCanines.value).toBeCloseTo(37, 6);
    expect(behindCanines.low).toBeLessThan(37);
    expect(behindCanines.high).toBeGreaterThan(37);
    expect(toLeft.value).toBeCloseTo(0, 6);
  });

  test("crowns apart more than the vault is a positive roll", () => {
    const vault: Vector3 = [0, 0, 20];
    const reading = readHalves(halves(turned([0, 2, 0], vault), turned([0, -2, 0], vault)), ASSUMED);
    expect(reading.roll.value).toBeCloseTo(4, 9);
    expect(reading.atMolars.value).toBeGreaterThan(0);
  });

  test("the front of the left half moving away from the head is a positive pitch, and to occlusal", () => {
    const left = turned([2, 0, 0], [0, 40, 0]);
    expect(apply(left, [0, 8, 10])[2]).toBeLessThan(10);
    const reading = readHalves(halves(IDENTITY, left), ASSUMED);
    expect(reading.pitch.value).toBeCloseTo(2, 9);
    expect(reading.occlusalShift.value).toBeGreaterThan(0);
  });

  test("a left half that moved to the front moved forwards", () => {
    expect(readHalves(halves(IDENTITY, shifted([0, -1, 0])), ASSUMED).forwardShift.value).toBeCloseTo(1, 9);
  });

  test("in a mirror opening, opening angle and roll stay; pitch and the left half's shifts change sign", () => {
    const right = turned([0.7, 1.1, -2], [1, 40, 3], [-1.2, 0.3, 0.2]);
    const left = turned([-0.4, -1.6, 3.1], [-2, 42, 5], [1.5, -0.2, 0.4]);
    const one = readHalves(halves(right, left), ASSUMED);
    const other = readHalves(
      {
        ...halves(mirrored(left), mirrored(right)),
        right: moved(mirrored(left), [-9, 18, 15]),
        left: moved(mirrored(right), [9, 18, 15]),
      },
      ASSUMED,
    );
    for (const key of ["atCanines", "atMolars", "openingAngle", "roll"] as const) {
      expect(other[key].value).toBeCloseTo(one[key].value, 9);
      expect(other[key].standardUncertainty).toBeCloseTo(one[key].standardUncertainty, 6);
    }
    for (const key of ["pitch", "forwardShift", "occlusalShift"] as const) {
      expect(other[key].value).toBeCloseTo(-one[key].value, 9);
    }
    expect(other.verdict).toBe(one.verdict);
  });
});

describe("the verdict of the halves", () => {
  const at = (front: number, back: number) => {
    // A small opening angle about an upright axis, so that the two stations open as asked.
    const angle = 2 * Math.asin((front - back) / 20 / 2) * DEGREES;
    const left = compose(shifted([(front + back) / 2, 0, 0]), turned([0, 0, angle], [0, 18, 0]));
    return readHalves(halves(IDENTITY, left), ASSUMED);
  };
  test.each([
    [4, 1.5, "fan-front"],
    [1.5, 4, "fan-back"],
    [3, 3.2, "parallel"],
    [0.1, 0, "no-change"],
    [-1, -0.8, "narrowed"],
    [3, 2.05, "undecided"],
  ])("%d mm in front and %d mm at the back is %s", (front, back, verdict) => {
    const reading = at(front, back);
    expect(reading.verdict).toBe(verdict);
    expect(reading.because).not.toBe("");
  });
});

describe("the uncertainty of the halves", () => {
  const right = turned([0, 0.5, -3], [0, 45, 0]);
  const left = turned([0, -0.5, 3], [0, 45, 0]);

  test("its registration part is what 20,000 draws of the fits' errors give", () => {
    const reading = readHalves(halves(right, left), EXACT);
    const random = seededRandom(7);
    const normal = (): number => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
    const sums = { atCanines: [0, 0], atMolars: [0, 0], openingAngle: [0, 0] };
    const base = halves(right, left);
    const draws = 20_000;
    const off = ({ transform, centre }: MovedHalf): RigidTransform => {
      const d = Array.from({ length: 6 }, (_, i) => normal() * Math.sqrt(COVARIANCE[7 * i]!));
      return compose(fromRotationVector([d[0]!, d[1]!, d[2]!], [d[3]!, d[4]!, d[5]!], centre), transform);
    };
    for (let i = 0; i < draws; i++) {
      // Straight from the two motions: where points of the median plane go, and the turn about the head's direction.
      const m = compose(base.toFrame, compose(compose(invert(off(base.right)), off(base.left)), invert(base.toFrame)));
      const half = halfMotion(m);
      const opening = (p: Vector3) => apply(half, p)[0] - apply(invert(half), p)[0];
      const drawn = {
        atCanines: opening([0, 8, 10]),
        atMolars: opening([0, 28, 16]),
        openingAngle: rotationVector(m)[2] * DEGREES,
      };
      for (const key of ["atCanines", "atMolars", "openingAngle"] as const) {
        sums[key][0]! += drawn[key];
        sums[key][1]! += drawn[key] * drawn[key];
      }
    }
    for (const key of ["atCanines", "atMolars", "openingAngle"] as const) {
      const mean = sums[key][0]! / draws;
      const sd = Math.sqrt(sums[key][1]! / draws - mean * mean);
      expect(reading[key].components.registration / sd).toBeCloseTo(1, 1);
      expect(Math.abs(reading[key].components.registration / sd - 1)).toBeLessThan(0.03);
      expect(reading[key].components.scanner).toBe(0);
      expect(reading[key].components.point).toBe(0);
    }
  });

  test("the scanner's part is that of a width at the same station, with its roll up to the palate, on both scans", () => {
    const { atCanines, atMolars, openingAngle } = readHalves(halves(right, left), ASSUMED);
    const slope = 0.07 / 20;
    expect(atCanines.components.scanner).toBeCloseTo(Math.SQRT2 * Math.hypot(0.05, 0.02, (10 - 4) * slope), 12);
    expect(atMolars.components.scanner).toBeCloseTo(Math.SQRT2 * Math.hypot(0.12, 0.02, (16 - 4) * slope), 12);
    expect(openingAngle.components.scanner).toBeCloseTo(((Math.SQRT2 * 0.07) / 20) * DEGREES, 12);
  });

  test("scanner errors at front and back go together, so the difference is more certain than independent ones", () => {
    const { difference, atCanines, atMolars } = readHalves(halves(right, left), ASSUMED);
    const u = (difference.high - difference.low) / (2 * 1.959964);
    expect(u).toBeLessThan(Math.hypot(atCanines.standardUncertainty, atMolars.standardUncertainty));
    expect(u).toBeGreaterThan(Math.SQRT2 * 0.07);
  });

  test("a frame that is less certain makes the openings less certain", () => {
    const sure = readHalves(halves(right, left), ASSUMED);
    const unsure = readHalves(halves(right, left, { frameTurn: [0.01, 0.01, 0.03], stationError: 0.2 }), ASSUMED);
    expect(sure.atCanines.components.point).toBe(0);
    expect(unsure.atCanines.components.point).toBeGreaterThan(0.01);
    expect(unsure.atCanines.value).toBe(sure.atCanines.value);
  });
});

test("half a motion made twice is the motion", () => {
  const motion = turned([3, -5, 20], [4, 9, -3], [1, -2, 0.7]);
  const half = halfMotion(motion);
  for (const p of [
    [0, 0, 0],
    [10, -4, 30],
  ] as const) {
    expect(distance(apply(half, apply(half, p)), apply(motion, p))).toBeLessThan(1e-12);
  }
  expect(halfMotion(shifted([1, 2, 3])).translation).toEqual([0.5, 1, 1.5]);
});
