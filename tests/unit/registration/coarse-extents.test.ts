import { beforeAll, describe, expect, test } from "vitest";
import type { Landmark } from "#core/arch/landmark";
import { apply, compose, invert, type RigidTransform } from "#core/geometry/rigid-transform";
import { distance, type Vector3 } from "#core/geometry/vector";
import type { Readings } from "#core/readings/readings-document";
import { writePly } from "#core/scan/write-ply";
import { makeSamplePair, type SamplePair } from "../../../sample-meshes/generator/sample-pair";
import { NO_TREATMENT } from "../../../sample-meshes/generator/treatment";
import { motionOf, SampleCase } from "../jobs/sample-case";
import { drawnPose, scansOf } from "./posed-pairs";

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

function moved({ positions, triangles }: Triangles, pose: RigidTransform): Triangles {
  const out = new Float64Array(positions.length);
  for (let v = 0; v < out.length; v += 3) {
    out.set(apply(pose, [positions[v]!, positions[v + 1]!, positions[v + 2]!]), v);
  }
  return { positions: out, triangles };
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
    const [p, q] = [drawnPose(700 + 2 * seed), drawnPose(701 + 2 * seed)];
    const [before, after] = of() as [Triangles, Triangles];
    const sample = new SampleCase("fan");
    await sample.openBytes("before", "before.ply", writePly(moved(before, p), "binary-little-endian", []));
    await sample.openBytes("after", "after.ply", writePly(moved(after, q), "binary-little-endian", []));
    const landmarks = pair.marks.scans.before!.landmarks.map((mark) => ({ ...mark, at: apply(p, mark.at) }));
    const { readings } = sample.measure("before", "after", {
      before: { landmarks: landmarks as Landmark[] },
      after: { landmarks: [] },
    });
    for (const side of ["right", "left"] as const) {
      expect(off(readings, side, p, q), side).toBeLessThan(0.15);
    }
  });

  /** Root mean square distance of a side's palatal gingival points from where they went, mm. */
  function off(readings: Readings, side: "right" | "left", p: RigidTransform, q: RigidTransform): number {
    const given = readings.registrations.flatMap((one) =>
      one.state === "given" && one.reading.region.startsWith(side) ? [one.reading] : [],
    );
    expect(given, JSON.stringify(readings.registrations)).toHaveLength(1);
    const { rotation, translation } = given[0]!;
    const found = invert({ rotation, translation } as unknown as RigidTransform);
    const truth = compose(q, motionOf(pair.truth.motions.after![side]));
    const squares = pair.truth.scans.before!.landmarks.flatMap(({ tooth, place, refound }) =>
      tooth === undefined || place !== "palatal-gingival" || tooth < 20 !== (side === "right")
        ? []
        : [distance(apply(found, apply(p, refound)), apply(truth, refound)) ** 2],
    );
    return Math.sqrt(squares.reduce((a, b) => a + b, 0) / squares.length);
  }
});
