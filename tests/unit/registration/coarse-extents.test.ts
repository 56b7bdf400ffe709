import { beforeAll, describe, expect, test } from "vitest";
import { apply, type RigidTransform } from "#core/geometry/rigid-transform";
import type { Vector3 } from "#core/geometry/vector";
import { makeSamplePair, type SamplePair } from "../../../sample-meshes/generator/sample-pair";
import { NO_TREATMENT } from "../../../sample-meshes/generator/treatment";
import { motionOf } from "../jobs/sample-case";
import { drawnPose, scansOf } from "./posed-pairs";
import { refinedHalves } from "./refined-halves";

/**
 * Landmarks on the before scan only, so that the scans are laid on each other by their shape, and then the halves are
 * registered as in any span: coarse meshes of 10,000 triangles, in any pose, of different extents.
 */
type Triangles = ReturnType<typeof scansOf>["whole"];

/** The part of a scan that lies where it is kept in the arch frame. */
function cropped(
  { positions, triangles }: Triangles,
  toFrame: RigidTransform,
  keep: (p: Vector3) => boolean,
): Triangles {
  const kept: number[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const corners = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!];
    const inside = corners.every((v) =>
      keep(apply(toFrame, [positions[3 * v]!, positions[3 * v + 1]!, positions[3 * v + 2]!])),
    );
    if (inside) kept.push(...corners);
  }
  return { positions, triangles: Uint32Array.from(kept) };
}

describe("the halves of coarse scans in any pose, found without landmarks on the later one", () => {
  let pair: SamplePair;
  let scans: Record<"before" | "after", ReturnType<typeof scansOf>>;
  let frame: RigidTransform;
  let behind: (tooth: number) => number;
  beforeAll(() => {
    const treatment = { ...NO_TREATMENT, openingAngle: 6, shift: 2.4, hingeLevelY: 29, roll: 1 };
    pair = makeSamplePair({ seed: 7, treatment, triangles: 10_000 });
    scans = { before: scansOf(pair, "before"), after: scansOf(pair, "after") };
    const { archFrame, landmarks } = pair.truth.scans.after!;
    frame = motionOf(archFrame);
    behind = (tooth) => {
      const ys = landmarks.flatMap((mark) => (mark.tooth === tooth ? [apply(frame, mark.refound)[1]] : []));
      return (Math.min(...ys) + Math.max(...ys)) / 2;
    };
  });

  test.each([
    ["both with the palate", 1, () => [scans.before.whole, scans.after.whole]],
    ["both without the palate", 2, () => [scans.before.teeth, scans.after.teeth]],
    ["the palate on the before scan only", 3, () => [scans.before.whole, scans.after.teeth]],
    ["the palate on the after scan only", 4, () => [scans.before.teeth, scans.after.whole]],
    [
      "the after scan ending behind the first molars",
      5,
      () => [scans.before.whole, cropped(scans.after.whole, frame, ([, y]) => y < behind(16) + 5)],
    ],
    [
      "the after scan without its incisors",
      6,
      () => [scans.before.whole, cropped(scans.after.whole, frame, ([, y]) => y > behind(13) - 4)],
    ],
  ] as const)("%s: each half within 0.15 mm of where it went", async (_, seed, of) => {
    const poses = [drawnPose(700 + 2 * seed), drawnPose(701 + 2 * seed)] as const;
    const { right, left } = await refinedHalves(pair, of() as [Triangles, Triangles], poses);
    expect(right ?? Infinity).toBeLessThan(0.15);
    expect(left ?? Infinity).toBeLessThan(0.15);
  });
});
