import { describe, expect, test } from "vitest";
import { atan, cos, DEGREES, sin } from "#core/geometry/real";
import { apply, compose, fromRotationVector, invert, type RigidTransform } from "#core/geometry/rigid-transform";
import { screwMotion } from "#core/geometry/screw-motion";
import { distance, type Vector3 } from "#core/geometry/vector";

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
