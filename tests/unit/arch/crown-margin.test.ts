import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { describe, expect, test } from "vitest";
import { commonPlanePairs } from "#core/arch/arch-frame";
import { crownFrames, type FrameMark, inCrown } from "#core/arch/crown-frame";
import { creaseHeight } from "#core/arch/crown-margin";
import { crownPatch, verticesInFrame } from "#core/arch/crown-patch";
import { crownSize } from "#core/arch/crown-sizes";
import { landmarksInUse } from "#core/arch/landmarks-in-use";
import { subtract } from "#core/geometry/vector";
import { UNWATCHED } from "#core/job-control";
import { surfaceOf } from "#core/mesh/surface";
import { bytesSource } from "#core/scan/byte-source";
import { takeIn } from "#core/scan/intake";
import { marksOf } from "../jobs/sample-case";

const FOLDER = resolve(import.meta.dirname, "../../../sample-meshes");

async function sampleOf(set: string) {
  const bytes = readFileSync(resolve(FOLDER, set, "before.stl"));
  const surface = surfaceOf((await takeIn(bytesSource("before.stl", bytes), {}, UNWATCHED)).mesh);
  const { landmarks } = marksOf(set).before!;
  const { frame, inUse } = landmarksInUse(surface, landmarks, commonPlanePairs([landmarks]), "before");
  const marks = inUse.flatMap(({ tooth, place, inFrame }): FrameMark[] =>
    inFrame === null ? [] : [{ tooth, place, at: inFrame }],
  );
  const withoutMargin = marks.filter(({ place }) => !place.includes("gingival"));
  return { surface, toFrame: frame!.toFrame, marks, withoutMargin };
}

describe.each(["fan", "parallel"])("crowns of the %s sample whose gingival points nobody placed", (set) => {
  test("the crease is found where the gingival points stand, though the average crown is up to 2 mm off", async () => {
    const { surface, toFrame, marks, withoutMargin } = await sampleOf(set);
    const off: number[] = [];
    const averageOff: number[] = [];
    for (const frame of crownFrames(withoutMargin)) {
      const heightOf = (mark: FrameMark) => inCrown(frame, subtract(mark.at, frame.centre))[2];
      const own = marks.filter(({ tooth }) => tooth === frame.tooth);
      const cusps = own.filter(({ place }) => place.endsWith("cusp-tip") || place === "incisal-edge-middle");
      for (const side of ["buccal", "palatal"] as const) {
        const place = side === "buccal" ? "buccal-gingival-zenith" : "palatal-gingival";
        const placed = heightOf(own.find((mark) => mark.place === place)!);
        const ofSide = cusps.filter((m) => m.place.includes(side) || !/buccal|palatal/.test(m.place));
        const top = Math.max(...ofSide.map(heightOf));
        const { buccalHeight, palatalHeight } = crownSize(frame.tooth);
        const expected = top - (side === "buccal" ? buccalHeight : palatalHeight);
        const found = creaseHeight(surface, toFrame, frame, side, expected);
        off.push(Math.abs((found ?? Number.POSITIVE_INFINITY) - placed));
        averageOff.push(Math.abs(expected - placed));
      }
    }
    expect(off).toHaveLength(28);
    expect(Math.max(...averageOff)).toBeGreaterThan(1.5);
    // Beside a molar's groove the margin stands up to 0.5 mm away from its most apical point.
    expect(Math.max(...off)).toBeLessThan(0.6);
  });

  test("so the crown that is registered is the same surface, without gingiva", async () => {
    const { surface, toFrame, marks, withoutMargin } = await sampleOf(set);
    const inFrame = verticesInFrame(surface, toFrame);
    const patches = (list: readonly FrameMark[]) => {
      const frames = crownFrames(list);
      return frames.map((frame) => crownPatch(surface, toFrame, inFrame, frame, frames, list));
    };
    const [placed, found] = [patches(marks), patches(withoutMargin)];
    found.forEach((patch, i) => {
      let both = 0;
      let beyond = 0;
      for (let v = 0; v < patch.length; v++) {
        if (patch[v] === 1 && placed[i]![v] === 1) both++;
        else if (patch[v] === 1) beyond++;
      }
      expect(beyond / (both + beyond)).toBeLessThan(0.08);
    });
  });
});
