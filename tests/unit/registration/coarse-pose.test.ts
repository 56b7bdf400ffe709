import { beforeAll, describe, expect, test } from "vitest";
import { apply, compose, fromRotationVector, invert, type RigidTransform } from "#core/geometry/rigid-transform";
import { seededRandom } from "#core/geometry/seeded-random";
import { distance, scale, type Vector3 } from "#core/geometry/vector";
import { surfaceOf } from "#core/mesh/surface";
import type { TriangleMesh } from "#core/mesh/triangle-mesh";
import { coarsePose } from "#core/registration/coarse-pose";
import { registrationSurface } from "#core/registration/registration-surface";
import { makeSamplePair, type SamplePair } from "../../../sample-meshes/generator/sample-pair";
import { NO_TREATMENT } from "../../../sample-meshes/generator/treatment";
import { ball, terrain } from "../mesh/surfaces";
import { inventedScan } from "./invented-arch";
import { coarseErrors, drawnPose, FARTHEST_START, posedSurface, scansOf } from "./posed-pairs";

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

describe("an arch of 20,000 triangles before and after its halves came apart, in any two poses", () => {
  const spread = { ...NO_TREATMENT, openingAngle: 6, shift: 2.4, hingeLevelY: 29, roll: 1 };
  let pair: SamplePair;
  let scans: Record<"before" | "after", ReturnType<typeof scansOf>>;
  beforeAll(() => {
    pair = makeSamplePair({ seed: 7, treatment: spread, triangles: 20_000 });
    scans = { before: scansOf(pair, "before"), after: scansOf(pair, "after") };
  });

  const extents = [
    ["whole", "whole", 12],
    ["teeth", "teeth", 12],
    ["whole", "teeth", 2],
    ["teeth", "whole", 2],
  ] as const;
  const cases = extents.flatMap(([from, to, poses]) =>
    Array.from({ length: poses }, (_, i) => ({ from, to, seed: 100 + 2 * i })),
  );
  test.each(cases)("the $from on the $to (pose $seed): one side is met, the other is off by the opening", (one) => {
    const [p, q] = [drawnPose(one.seed), drawnPose(one.seed + 1)];
    const [moving, fixed] = [posedSurface(scans.before[one.from], p), posedSurface(scans.after[one.to], q)];
    const { right, left, lead } = coarseErrors(pair, moving, fixed, p, q);
    expect(Math.min(right, left)).toBeLessThan(0.5);
    expect(Math.max(right, left)).toBeLessThan(FARTHEST_START);
    // No other position rivals: below 1.2 the scans would not be laid on each other without landmarks.
    expect(lead).toBeGreaterThan(1.2);
  });
});

test("surfaces of which none fits anywhere are refused", () => {
  const plate = prepare(terrain(30, 30, { x: [0, 60], y: [0, 60] }, () => 0));
  expect(() => coarsePose(plate, prepare(ball(4, 20, 12)))).toThrowError(
    expect.objectContaining({ code: "no-region-fits" }),
  );
});
