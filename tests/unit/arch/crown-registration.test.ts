import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import { commonPlanePairs } from "#core/arch/arch-frame";
import { crownFrames } from "#core/arch/crown-frame";
import { type CrownRegistration, type CrownScan, registerCrowns } from "#core/arch/crown-registration";
import { landmarksInUse } from "#core/arch/landmarks-in-use";
import { UNWATCHED } from "#core/job-control";
import { surfaceOf } from "#core/mesh/surface";
import type { TriangleMesh } from "#core/mesh/triangle-mesh";
import { registrationSurface } from "#core/registration/registration-surface";
import { bytesSource } from "#core/scan/byte-source";
import { takeIn } from "#core/scan/intake";
import { marksOf, motionOf, truthOf } from "../jobs/sample-case";

const FOLDER = resolve(import.meta.dirname, "../../../sample-meshes/fan");
const truth = truthOf("fan");

const meshOf = async (file: string): Promise<TriangleMesh> =>
  (await takeIn(bytesSource(file, readFileSync(resolve(FOLDER, file))), {}, UNWATCHED)).mesh;

function scanOf(mesh: TriangleMesh, name: string): CrownScan {
  const { landmarks } = marksOf("fan")[name]!;
  const surface = surfaceOf(mesh);
  const used = landmarksInUse(surface, landmarks, commonPlanePairs([landmarks]), name);
  return { surface: registrationSurface(surface), toFrame: used.frame!.toFrame, marks: used.inUse, name };
}

/** Distance of a vertex from a place of a tooth of the later scan, mm. */
function fromPlace(mesh: TriangleMesh, tooth: number, place: string): (vertex: number) => number {
  const [x, y, z] = truth.scans.after!.landmarks.find((m) => m.tooth === tooth && m.place === place)!.refound;
  const p = mesh.positions;
  return (v) => Math.hypot(p[3 * v]! - x, p[3 * v + 1]! - y, p[3 * v + 2]! - z);
}

const halves = {
  right: motionOf(truth.motions.after!.right),
  left: motionOf(truth.motions.after!.left),
};
const of = (crowns: readonly CrownRegistration[], tooth: number) => crowns.find((c) => c.frame.tooth === tooth)!.result;

describe("crowns that are not to be trusted", () => {
  let first: CrownScan;
  let after: TriangleMesh;
  beforeAll(async () => {
    first = scanOf(await meshOf("before.stl"), "before");
    after = await meshOf("after.ply");
  });

  test("a crown that was built up by a restoration is withheld, its neighbours are not", () => {
    const positions = after.positions.slice();
    const near = fromPlace(after, 16, "central-fossa");
    const { normals } = surfaceOf(after);
    for (let v = 0; v < positions.length / 3; v++) {
      const away = near(v);
      // An uneven layer of up to a millimetre over the whole crown.
      if (away > 6.5) continue;
      const layer = 0.5 + 0.5 * Math.sin(0.8 * positions[3 * v]! + 0.6 * positions[3 * v + 1]!);
      for (let k = 0; k < 3; k++) positions[3 * v + k]! += layer * normals[3 * v + k]!;
    }
    const crowns = registerCrowns(first, scanOf({ ...after, positions }, "after"), halves);
    expect(of(crowns, 16)).toMatchObject({ state: "refused", reason: { code: "crown-changed" } });
    expect(of(crowns, 14).state).toBe("fitted");
    expect(of(crowns, 26).state).toBe("fitted");
  });

  test("a crown of which the later scan shows half is withheld", () => {
    const near = fromPlace(after, 26, "central-fossa");
    const fromCusp = fromPlace(after, 26, "mesiobuccal-cusp-tip");
    const kept: number[] = [];
    for (let t = 0; t < after.triangles.length; t += 3) {
      const corners = [after.triangles[t]!, after.triangles[t + 1]!, after.triangles[t + 2]!];
      if (corners.some((v) => near(v) < 8 && fromCusp(v) > 4.5)) continue;
      kept.push(...corners);
    }
    const crowns = registerCrowns(first, scanOf({ ...after, triangles: Uint32Array.from(kept) }, "after"), halves);
    const result = of(crowns, 26);
    if (result.state === "fitted") throw new Error(`${result.fit.overlap}`);
    expect(result.reason.code).toBe("crown-too-little-covered");
    expect(of(crowns, 16).state).toBe("fitted");
  });

  test("a crown that lies elsewhere than its landmarks is withheld", () => {
    const second = scanOf(after, "after");
    const exchanged = {
      ...second,
      marks: second.marks.map((m) => (m.tooth === 14 ? { ...m, tooth: 15 } : m.tooth === 15 ? { ...m, tooth: 14 } : m)),
    };
    const crowns = registerCrowns(first, exchanged, halves);
    for (const tooth of [14, 15]) {
      expect(of(crowns, tooth).state).toBe("refused");
    }
  });

  test("work that is no longer wanted stops", () => {
    const job = { progress: () => {}, cancelled: () => true };
    expect(() => registerCrowns(first, scanOf(after, "after"), halves, job)).toThrowError(
      expect.objectContaining({ code: "cancelled" }),
    );
  });
});

describe("directions of a crown", () => {
  const arch = [
    [16, -25, 30],
    [14, -20, 14],
    [13, -16, 8],
    [23, 16, 8],
    [24, 20, 14],
    [26, 25, 30],
  ] as const;
  const frames = crownFrames(
    arch.map(([tooth, x, y]) => ({ tooth, place: "central-fossa" as const, at: [x, y, 0] as const })),
  );
  const frame = (tooth: number) => frames.find((f) => f.tooth === tooth)!;

  test("mesial runs along the arch to the midline, buccal outwards, on both sides alike", () => {
    for (const [right, left] of [
      [16, 26],
      [14, 24],
      [13, 23],
    ] as const) {
      const [r, l] = [frame(right), frame(left)];
      expect(r.mesial[1]).toBeLessThan(0);
      expect(r.mesial[0]).toBeGreaterThan(0);
      expect(r.buccal[0]).toBeLessThan(0);
      expect([-r.mesial[0], r.mesial[1]]).toEqual([expect.closeTo(l.mesial[0], 12), expect.closeTo(l.mesial[1], 12)]);
      expect([-r.buccal[0], r.buccal[1]]).toEqual([expect.closeTo(l.buccal[0], 12), expect.closeTo(l.buccal[1], 12)]);
    }
  });

  test("a gap in front does not turn the canine's direction across the arch", () => {
    expect(Math.abs(frame(13).mesial[1])).toBeGreaterThan(frame(13).mesial[0]);
  });
});
