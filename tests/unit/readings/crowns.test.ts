import { describe, expect, test } from "vitest";
import { DEGREES } from "#core/geometry/real";
import { compose, fromRotationVector, IDENTITY, invert, type RigidTransform } from "#core/geometry/rigid-transform";
import type { Vector3 } from "#core/geometry/vector";
import {
  type CrownInput,
  crownMotion,
  halfReference,
  pairAngle,
  palatalCuspDrop,
  wholeReference,
} from "#core/readings/crowns";
import type { MovedHalf } from "#core/readings/halves";

const ASSUMED = { pointWidth: 0.25, scanner: { atCanines: 0.05, atMolars: 0.12, local: 0.02 }, delta: 1 };
const POSES = {
  before: fromRotationVector([0.4, -0.3, 1.1], [30, -12, 50]),
  after: fromRotationVector([-0.6, 0.2, -0.8], [-10, 22, 5]),
};
const COVARIANCE = new Float64Array(36);
for (let i = 0; i < 6; i++) COVARIANCE[7 * i] = i < 3 ? (0.1 / DEGREES) ** 2 : 0.01 ** 2;

/** A motion given in the arch frame, seen in the files. */
const moved = (motion: RigidTransform): MovedHalf => ({
  transform: compose(POSES.after, compose(motion, invert(POSES.before))),
  covariance: COVARIANCE,
  centre: [0, 0, 0],
});
const inFile = (p: Vector3): Vector3 => {
  const t = POSES.before;
  const r = t.rotation;
  return [
    r[0] * p[0] + r[1] * p[1] + r[2] * p[2] + t.translation[0],
    r[3] * p[0] + r[4] * p[1] + r[5] * p[2] + t.translation[1],
    r[6] * p[0] + r[7] * p[1] + r[8] * p[2] + t.translation[2],
  ];
};

/** A first molar of either side, 25 mm beside the midline, mesial straight forwards. */
const molar = (side: "right" | "left", motion: RigidTransform): CrownInput => ({
  crown: moved(motion),
  axes: [
    [0, -1, 0],
    [side === "left" ? 1 : -1, 0, 0],
    [0, 0, -1],
  ],
  middle: inFile([side === "left" ? 25 : -25, 30, 2]),
  toFrame: invert(POSES.before),
  axesTurn: [0, 0, 0],
  share: 1,
  archLength: 21,
});
const turned = (degrees: Vector3, about: Vector3): RigidTransform =>
  fromRotationVector(degrees.map((d) => d / DEGREES) as unknown as Vector3, [0, 0, 0], about);
const still = halfReference(moved(IDENTITY));

describe("signs of a crown's motion", () => {
  // A turn about the front-back axis through the root (15 mm to the head of the cusps), crown to the left.
  const toLeft = (x: number) => turned([0, -4, 0], [x, 30, 15]);
  const toRight = (x: number) => turned([0, 4, 0], [x, 30, 15]);

  test("a left molar whose crown went to the left, and a right one whose crown went to the right, tipped to buccal", () => {
    const left = crownMotion(molar("left", toLeft(25)), still, ASSUMED);
    const right = crownMotion(molar("right", toRight(-25)), still, ASSUMED);
    for (const motion of [left, right]) {
      expect(motion.buccalTipping.value).toBeCloseTo(4, 9);
      expect(motion.mesialTipping.value).toBeCloseTo(0, 9);
      expect(motion.turning.value).toBeCloseTo(0, 9);
      expect(motion.buccalShift.value).toBeCloseTo(13 * Math.sin(4 / DEGREES), 9);
    }
    expect(left.buccalTipping.standardUncertainty).toBeCloseTo(right.buccalTipping.standardUncertainty, 9);
  });

  test("a crown that tipped forwards tipped to mesial", () => {
    const motion = crownMotion(molar("left", turned([-3, 0, 0], [25, 30, 15])), still, ASSUMED);
    expect(motion.mesialTipping.value).toBeCloseTo(3, 9);
    expect(motion.mesialShift.value).toBeGreaterThan(0);
  });

  test("the mesial side turned to the cheek is a positive turn on both sides", () => {
    // Seen from the head, +z turns from +x to +y: the front of a left molar goes to the left.
    expect(crownMotion(molar("left", turned([0, 0, 5], [25, 30, 2])), still, ASSUMED).turning.value).toBeCloseTo(5, 9);
    expect(crownMotion(molar("right", turned([0, 0, -5], [-25, 30, 2])), still, ASSUMED).turning.value).toBeCloseTo(
      5,
      9,
    );
  });

  test("a crown that moved with its half did not move against it", () => {
    const together = turned([1, 2, -3], [4, 5, 6]);
    const motion = crownMotion(molar("right", together), halfReference(moved(together)), ASSUMED);
    for (const key of [
      "buccalTipping",
      "mesialTipping",
      "turning",
      "buccalShift",
      "mesialShift",
      "occlusalShift",
    ] as const) {
      expect(motion[key].value).toBeCloseTo(0, 9);
    }
  });

  test("the palatal cusp of a molar that tipped to buccal dropped to occlusal, more than its buccal cusp", () => {
    const tipped = molar("left", toLeft(25));
    const drop = palatalCuspDrop(tipped, still, inFile([21, 30, 0]), inFile([29, 30, 0]), ASSUMED);
    expect(drop.againstHalf.value).toBeGreaterThan(0.2);
    expect(drop.againstBuccalCusp!.value).toBeCloseTo(8 * Math.sin(4 / DEGREES), 9);
    expect(palatalCuspDrop(tipped, still, inFile([21, 30, 0]), null, ASSUMED).againstBuccalCusp).toBeNull();
  });

  test("two molars that tipped to the cheek by 4 degrees each opened their angle by 8, whatever the halves did", () => {
    const [right, left] = [molar("right", toRight(-25)), molar("left", toLeft(25))];
    const angle = pairAngle(right, left, ASSUMED);
    expect(angle.value).toBeCloseTo(8, 9);
    expect(angle.components.scanner).toBeCloseTo(((Math.SQRT2 * 0.07) / 21) * DEGREES, 9);
  });
});

describe("the uncertainty of a crown's motion", () => {
  test("joins the errors of crown and half; on one side the scanner's local error alone comes between them", () => {
    const motion = crownMotion(molar("left", IDENTITY), still, ASSUMED);
    // Two fits, each 0.1 degrees about every axis.
    expect(motion.buccalTipping.components.registration).toBeCloseTo(Math.SQRT2 * 0.1, 6);
    expect(motion.buccalTipping.components.scanner).toBe(0);
    expect(motion.buccalShift.components.scanner).toBeCloseTo(Math.SQRT2 * 0.02, 9);
  });

  test("against the palate as a whole it carries half of the scanner's error across the arch, and half of its turn", () => {
    const whole = wholeReference(IDENTITY, [moved(IDENTITY), moved(IDENTITY)]);
    const motion = crownMotion(molar("left", IDENTITY), whole, ASSUMED);
    expect(motion.buccalTipping.components.scanner).toBeCloseTo(((Math.SQRT2 * 0.07) / 2 / 21) * DEGREES, 9);
    expect(motion.buccalShift.components.scanner).toBeCloseTo(Math.SQRT2 * Math.hypot(0.06, 0.02), 9);
  });

  test("uncertain directions of the crown matter only where it moved", () => {
    const unsure = (motion: RigidTransform) =>
      crownMotion({ ...molar("left", motion), axesTurn: [0.01, 0.01, 0.05] }, still, ASSUMED).buccalTipping.components
        .point;
    expect(unsure(IDENTITY)).toBeCloseTo(0, 9);
    expect(unsure(turned([6, 0, 0], [25, 30, 15]))).toBeCloseTo(6 * 0.05, 3);
  });
});
