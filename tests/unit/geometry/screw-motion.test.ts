import fc from "fast-check";
import { expect, test } from "vitest";
import { DEGREES } from "#core/geometry/real";
import { apply, fromRotationVector, rotationVector } from "#core/geometry/rigid-transform";
import { screwMotion } from "#core/geometry/screw-motion";
import { addScaled, distance, dot, length, scale, unit, type Vector3 } from "#core/geometry/vector";

const number = (limit: number) => fc.double({ min: -limit, max: limit, noNaN: true });

test("axis, angle and shift make the motion up again, from a thousandth of a degree to nearly a half turn", () => {
  fc.assert(
    fc.property(
      fc.tuple(number(1), number(1), number(1)).filter((v) => length(v) > 0.1),
      fc.double({ min: 0.001, max: 179.9, noNaN: true }),
      fc.tuple(number(40), number(40), number(40)),
      number(10),
      (raw, angle, through, along) => {
        const axis = unit(raw);
        const motion = fromRotationVector(scale(axis, angle / DEGREES), scale(axis, along), through);
        const screw = screwMotion(motion);
        expect(screw.angle).toBeCloseTo(angle, 8);
        const same = dot(screw.direction, axis);
        expect(same).toBeGreaterThan(1 - 1e-6);
        expect(screw.shift).toBeCloseTo(along, 6);
        // A point of the axis is only shifted along it.
        const moved = apply(motion, screw.point!);
        expect(distance(moved, addScaled(screw.point!, screw.direction, screw.shift))).toBeLessThan(1e-6);
        expect(Math.abs(dot(screw.point!, screw.direction))).toBeLessThan(1e-6);
      },
    ),
    { seed: 7, numRuns: 300 },
  );
});

test("half a turn keeps its axis", () => {
  const axis = unit([1, 2, -2] as Vector3);
  const motion = fromRotationVector(scale(axis, Math.PI), [0, 0, 0], [3, 4, 5]);
  const screw = screwMotion(motion);
  expect(screw.angle).toBeCloseTo(180, 10);
  expect(Math.abs(dot(screw.direction, axis))).toBeCloseTo(1, 10);
  expect(distance(apply(motion, screw.point!), screw.point!)).toBeLessThan(1e-9);
  expect(length(rotationVector(motion))).toBeCloseTo(Math.PI, 12);
});

test("without a turn there is no axis, only a shift", () => {
  const screw = screwMotion({ rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1], translation: [0, 3, 4] });
  expect(screw.angle).toBe(0);
  expect(screw.point).toBeNull();
  expect(screw.shift).toBe(5);
  expect(distance(screw.direction, [0, 0.6, 0.8])).toBeLessThan(1e-15);
});
