import { describe, expect, test } from "vitest";
import { atan, cos, DEGREES, sin } from "#core/geometry/real";
import { apply, compose, fromRotationVector, invert, type RigidTransform } from "#core/geometry/rigid-transform";
import { screwMotion } from "#core/geometry/screw-motion";
import { distance, type Vector3 } from "#core/geometry/vector";
import { readSpan } from "#core/readings/span-readings";
import type { PointSet } from "#core/readings/width";
import { SIMULATED } from "../unit/readings/invented-arch";

/**
 * Movements whose widths have a closed form, worked by hand (no published source).
 * Arch frame: x to the patient's left, y to the back, z to the head; the halves turn about an upright axis behind.
 */
const about = (degrees: number, axis: Vector3, centre: Vector3, shift: Vector3 = [0, 0, 0]): RigidTransform =>
  fromRotationVector(
    [(axis[0] * degrees) / DEGREES, (axis[1] * degrees) / DEGREES, (axis[2] * degrees) / DEGREES],
    shift,
    centre,
  );

describe("both halves 2.5 mm outwards", () => {
  const left: RigidTransform = { rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1], translation: [2.5, 0, 0] };
  const right: RigidTransform = { ...left, translation: [-2.5, 0, 0] };
  test.each([
    ["canines", 17, 0],
    ["first molars", 25, 28],
  ])("the %s widen by exactly 5 mm and nothing turns", (_, half, y) => {
    const before = distance([-half, y, 0], [half, y, 0]);
    const after = distance(apply(right, [-half, y, 0]), apply(left, [half, y, 0]));
    expect(after - before).toBe(5);
    const opening = screwMotion(compose(invert(right), left));
    expect(opening).toEqual({ angle: 0, direction: [1, 0, 0], shift: 5, point: null });
  });
});

describe("both halves turned by 3 degrees about an upright axis behind the arch", () => {
  const hinge: Vector3 = [0, 40, 0];
  const left = about(3, [0, 0, 1], hinge);
  const right = about(-3, [0, 0, 1], hinge);
  // 2·(a·cos 3° + d·sin 3°) with d the distance in front of the hinge
  test.each([
    ["canines", 17, 40, 38.14028],
    ["first molars", 25, 12, 51.18754],
  ])("the width at the %s follows 2(a cos 3° + d sin 3°)", (_, half, inFront, expected) => {
    const y = hinge[1] - inFront;
    const after = distance(apply(right, [-half, y, 0]), apply(left, [half, y, 0]));
    expect(after).toBeCloseTo(2 * (half * cos(3 / DEGREES) + inFront * sin(3 / DEGREES)), 10);
    expect(after).toBeCloseTo(expected, 5);
  });

  test("the halves open by 6 degrees about the hinge; the two widths alone would say 6.04", () => {
    const opening = screwMotion(compose(invert(right), left));
    expect(opening.angle).toBeCloseTo(6, 10);
    expect(opening.direction[2]).toBeCloseTo(1, 12);
    expect(opening.shift).toBeCloseTo(0, 12);
    expect(opening.point![0]).toBeCloseTo(0, 9);
    expect(opening.point![1]).toBeCloseTo(40, 9);
    const slope = (38.14028 - 34 - (51.18754 - 50)) / 28;
    expect(2 * atan(slope / 2) * DEGREES).toBeCloseTo(6.04, 2);
  });
});

test("a molar tipped by 8 degrees about its palatal gingival point: that point stays, the cusp 7 mm below moves 0.9742 mm", () => {
  const gingival: Vector3 = [18, 28, 0];
  const tip = about(-8, [0, 1, 0], gingival); // the left molar's crown, towards the head's opposite, goes to the cheek
  const cusp: Vector3 = [18, 28, -7];
  expect(distance(apply(tip, gingival), gingival)).toBeLessThan(1e-12);
  expect(Math.abs(apply(tip, cusp)[0] - cusp[0])).toBeCloseTo(0.9742, 4);
  expect(Math.abs(apply(tip, cusp)[0] - cusp[0])).toBeCloseTo(7 * sin(8 / DEGREES), 12);
});

describe("the same movements through the readings, each scan in a pose of its own", () => {
  const POSES = [
    about(70, [0.6, 0, 0.8], [3, 9, -4], [12, -30, 8]),
    about(-125, [0, 0.8, 0.6], [0, 5, 2], [-9, 14, 60]),
  ];
  /** Canines and first molars at cusp level, each side moved by its half. */
  function scan(step: 0 | 1, right: RigidTransform, left: RigidTransform): PointSet {
    const points = (
      [
        [13, 23, "cusp-tip", 17, 0],
        [16, 26, "mesiobuccal-cusp-tip", 25, 28],
      ] as const
    ).flatMap(([a, b, place, half, y]) =>
      (
        [
          [a, right, -half],
          [b, left, half],
        ] as const
      ).map(([tooth, by, x]) => {
        const inFrame = step === 0 ? ([x, y, 0] as Vector3) : apply(by, [x, y, 0]);
        return { tooth, place, at: apply(POSES[step]!, inFrame), inFrame };
      }),
    );
    return { timepoint: step === 0 ? "before" : "after", points, faults: [] };
  }
  const shifted = (x: number): RigidTransform => ({ rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1], translation: [x, 0, 0] });
  const read = (right: RigidTransform, left: RigidTransform) => {
    const { widths, patterns } = readSpan(scan(0, right, left), scan(1, right, left), SIMULATED, "expansion");
    const [pattern] = patterns;
    if (pattern?.state !== "given") throw new Error("no pattern");
    const changes = widths.map(({ change }) => (change.state === "given" ? change.reading.value : Number.NaN));
    return { changes, pattern: pattern.reading };
  };

  test.each([
    ["2.5 mm to each side", 2.5, 2.5],
    ["3.5 mm to the right and 1.5 mm to the left", 3.5, 1.5],
    ["5 mm to the left alone", 0, 5],
  ])("%s: both widths +5, front : back 1, no opening angle, parallel; no side is told", (_, right, left) => {
    const { changes, pattern } = read(shifted(-right), shifted(left));
    for (const change of changes) expect(change).toBeCloseTo(5, 9);
    expect(pattern.verdict).toBe("parallel");
    expect(pattern.openingAngleOfTeeth.value).toBeCloseTo(0, 9);
    if (pattern.frontToBack.state !== "given") throw new Error("no ratio");
    expect(pattern.frontToBack.reading.ratio.value).toBeCloseTo(1, 9);
  });

  test("3 degrees to each side about a hinge 40 mm behind the canines: +4.1403 and +1.1875, ratio 3.4864, 6.04 degrees", () => {
    const hinge: Vector3 = [0, 40, 0];
    const { changes, pattern } = read(about(-3, [0, 0, 1], hinge), about(3, [0, 0, 1], hinge));
    expect(changes[0]).toBeCloseTo(2 * (17 * cos(3 / DEGREES) + 40 * sin(3 / DEGREES)) - 34, 9);
    expect(changes[1]).toBeCloseTo(2 * (25 * cos(3 / DEGREES) + 12 * sin(3 / DEGREES)) - 50, 9);
    expect(pattern.verdict).toBe("fan-front");
    if (pattern.frontToBack.state !== "given") throw new Error("no ratio");
    expect(pattern.frontToBack.reading.ratio.value).toBeCloseTo(3.4864, 4);
    // The molars' points stand farther out than the canines', so the teeth say a little more than the halves' 6.
    expect(pattern.openingAngleOfTeeth.value).toBeCloseTo(6.04, 2);
  });
});
