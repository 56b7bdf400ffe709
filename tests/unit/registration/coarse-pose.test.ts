import { describe, expect, test } from "vitest";
import { apply, compose, fromRotationVector, invert, type RigidTransform } from "#core/geometry/rigid-transform";
import { seededRandom } from "#core/geometry/seeded-random";
import { distance, scale, type Vector3 } from "#core/geometry/vector";
import { surfaceOf } from "#core/mesh/surface";
import type { TriangleMesh } from "#core/mesh/triangle-mesh";
import { coarsePose } from "#core/registration/coarse-pose";
import { registrationSurface } from "#core/registration/registration-surface";
import { ball, terrain } from "../mesh/surfaces";
import { inventedScan } from "./invented-arch";

const prepare = (mesh: TriangleMesh) => registrationSurface(surfaceOf(mesh));
const random = seededRandom(12);
const anyPose = (): RigidTransform => {
  const axis: Vector3 = [random() - 0.5, random() - 0.5, random() - 0.5];
  const turn = scale(axis, (Math.PI * random()) / Math.hypot(...axis));
  return fromRotationVector(turn, [200 * random() - 100, 200 * random() - 100, 200 * random() - 100]);
};

describe("two scans of one arch in any pose, without landmarks", () => {
  const fixedPose = anyPose();
  const fixed = prepare(inventedScan({ person: 1, spacing: 0.7, noise: 0.02, seed: 1, pose: fixedPose }));

  test.each([1, 2, 3, 4, 5, 6])("are laid on each other (pose %i), a tenth cut off at the back", (seed) => {
    const pose = anyPose();
    const moving = prepare(
      inventedScan({ person: 1, spacing: 0.75, noise: 0.02, seed, backEnd: 45, movedCrowns: [0, 1, 2], pose }),
    );
    const found = coarsePose(moving, fixed);
    const truth = compose(fixedPose, invert(pose));
    for (const rest of [
      [0, 20, 15],
      [22, 30, 5],
      [-22, 30, 5],
    ] as const) {
      const p = apply(pose, rest);
      expect(distance(apply(found.transform, p), apply(truth, p))).toBeLessThan(0.2);
    }
    expect(found.lead).toBeGreaterThan(2);
  });
});

test("surfaces of which none fits anywhere are refused", () => {
  const plate = prepare(terrain(30, 30, { x: [0, 60], y: [0, 60] }, () => 0));
  expect(() => coarsePose(plate, prepare(ball(4, 20, 12)))).toThrowError(
    expect.objectContaining({ code: "no-region-fits" }),
  );
});
