import { describe, expect, test } from "vitest";
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
import { distance, type Vector3 } from "#core/geometry/vector";
import { surfaceOf } from "#core/mesh/surface";
import type { ArchScan, PartFit, PartOutcome } from "#core/registration/halves-registration";
import { registerPalate } from "#core/registration/palate";
import { registrationSurface } from "#core/registration/registration-surface";
import { halvesMoved, type InventedScan, inventedMarks, inventedScan } from "./invented-arch";

const poses: Record<"before" | "after", RigidTransform> = {
  before: fromRotationVector([0.4, -0.3, 1.1], [30, -12, 50]),
  after: fromRotationVector([-0.6, 0.2, -0.8], [-10, 22, 5]),
};

/** A scan with landmarks 0.3 mm off and the true frame of the before scan, in its own pose. */
function scanned(name: "before" | "after", more: Partial<InventedScan>): ArchScan {
  const spacing = name === "before" ? 0.4 : 0.43;
  const scan: InventedScan = { person: 1, spacing, noise: 0.02, seed: spacing * 100, pose: poses[name], ...more };
  return {
    surface: registrationSurface(surfaceOf(inventedScan(scan))),
    toFrame: invert(poses[name]),
    marks: inventedMarks(scan, 0.3),
    name,
  };
}

const fitted = (outcome: PartOutcome): PartFit => {
  if (outcome.state === "failed") throw new Error(outcome.error.problem);
  return outcome.fit;
};

/** Before → after as found, seen in the arch's own axes. */
const inFrame = (fit: PartFit): RigidTransform =>
  compose(invert(poses.after), compose(fit.fit.transform, poses.before));

const before = scanned("before", {});
const hinge: Vector3 = [0, 55, 0];
const turn = (degrees: number, roll: number): RigidTransform =>
  fromRotationVector([0, roll / DEGREES, degrees / DEGREES], [0, 0, 0], hinge);

describe("a palate opened like a fan, 3 degrees to each side", () => {
  const right = turn(-3, 1);
  const left = turn(3, -1);
  const after = scanned("after", { motion: halvesMoved(right, left) });
  const found = registerPalate(before, after);

  test.each([
    ["right", right, [-9, 25, 16]],
    ["left", left, [9, 25, 16]],
  ] as const)("the %s half is found where it went, within 0.05 mm", (side, truth, middle) => {
    const fit = fitted(found[side]);
    for (const offset of [
      [0, 0, 0],
      [0, 10, 0],
      [0, -10, 0],
      [4, 0, -2],
    ] as const) {
      const p: Vector3 = [middle[0] + offset[0], middle[1] + offset[1], middle[2] + offset[2]];
      expect(distance(apply(inFrame(fit), p), apply(truth, p))).toBeLessThan(0.05);
    }
    expect(fit.disagreement).toBeLessThan(0.1);
    expect(fit.commonRelief).toBeGreaterThan(0.9);
    expect(fit.fit.rms).toBeLessThan(0.04);
  });

  test("the left half against the right has opened by 6 degrees and rolled by 2, within 0.2", () => {
    const opening = rotationVector(compose(invert(inFrame(fitted(found.right))), inFrame(fitted(found.left))));
    expect(Math.abs(opening[2] * DEGREES - 6)).toBeLessThan(0.2);
    expect(Math.abs(-opening[1] * DEGREES - 2)).toBeLessThan(0.2);
  });

  test("one patient's palate is recognised, without warning", () => {
    expect(found.identity.verdict).toBe("same");
    expect(found.warnings).toEqual([]);
  });
});

describe("a palate opened in parallel by 5 mm, 3.5 mm of it to the right", () => {
  const right: RigidTransform = { ...IDENTITY, translation: [-3.5, 0, 0] };
  const left: RigidTransform = { ...IDENTITY, translation: [1.5, 0, 0] };
  const found = registerPalate(before, scanned("after", { motion: halvesMoved(right, left) }));

  test("the whole fit shares the opening evenly and gives no shares of sides", () => {
    const fit = fitted(found.whole);
    const vault: Vector3 = [0, 22, 18];
    const moved = apply(inFrame(fit), vault);
    // Half of what each side moved: (−3.5 + 1.5) / 2 = −1, so that 2.5 mm are left on each side.
    expect(moved[0] - vault[0]).toBeCloseTo(-1, 1);
    expect(Math.abs(moved[1] - vault[1])).toBeLessThan(0.1);
    expect(Math.abs(moved[2] - vault[2])).toBeLessThan(0.1);
    expect(fit.label).toBe("whole palate: shares the opening about evenly, gives no shares of sides");
    expect(fit.fit.sentence).toMatch(/^The palate opened, so as a whole it only fits to/);
  });

  test("the halves give the opening of 5 mm between them", () => {
    const opening = compose(invert(inFrame(fitted(found.right))), inFrame(fitted(found.left)));
    const p: Vector3 = [8, 25, 15];
    expect(distance(apply(opening, p), [p[0] + 5, p[1], p[2]])).toBeLessThan(0.1);
  });
});

describe("a palate that did not open", () => {
  const found = registerPalate(before, scanned("after", {}));
  test("is registered in one piece, to two hundredths of a millimetre", () => {
    const fit = fitted(found.whole);
    const p: Vector3 = [0, 22, 18];
    expect(distance(apply(inFrame(fit), p), p)).toBeLessThan(0.02);
    expect(distance(apply(fit.afterToBefore, apply(fit.fit.transform, p)), p)).toBeLessThan(1e-9);
    expect(fit.fit.sentence).toMatch(/^The palate fits to 0\.0\d mm/);
  });
});

describe("what does not belong together", () => {
  test.each([2, 3, 4])("the palate of another person (%i) fits nowhere", (person) => {
    const found = registerPalate(before, scanned("after", { person }));
    expect(found.identity.verdict).toBe("different");
    for (const part of [found.whole, found.right, found.left]) {
      expect(part).toMatchObject({ state: "failed", error: { code: "no-region-fits" } });
    }
  });

  test("a scan without palatal landmarks gives reasons instead of fits", () => {
    const bare = { ...scanned("after", {}), marks: [] };
    const found = registerPalate(before, bare);
    expect(found.regions.after).toBeNull();
    expect(found.whole).toMatchObject({ state: "failed", error: { code: "too-few-points" } });
    expect(found.identity.verdict).toBe("unknown");
    const other = registerPalate(bare, before);
    expect(other.right).toMatchObject({ state: "failed", error: { code: "landmark-missing", subject: "after" } });
  });

  test("work that is no longer wanted stops", () => {
    let polls = 0;
    const job = { progress: () => {}, cancelled: () => ++polls > 40 };
    expect(() => registerPalate(before, before, job)).toThrowError(expect.objectContaining({ code: "cancelled" }));
  });
});
