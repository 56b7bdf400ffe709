import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import type { Landmark } from "#core/arch/landmark";
import { UNWATCHED } from "#core/job-control";
import type { Readings } from "#core/readings/readings-document";
import { bytesSource } from "#core/scan/byte-source";
import { takeIn } from "#core/scan/intake";
import { writePly } from "#core/scan/write-ply";
import { marksOf, motionOf, SampleCase, truthOf } from "./sample-case";
import { withoutPalate } from "./teeth-only";

const FOLDER = resolve(import.meta.dirname, "../../../sample-meshes");
const ofOtherSide = (tooth: number) => (tooth < 20 ? tooth + 10 : tooth - 10);

/** Landmarks as a person places them on the mirrored scan: what looks like the right side is called right. */
const mirroredMarks = (landmarks: readonly Landmark[]): Landmark[] =>
  landmarks.map((mark) => ({
    ...mark,
    at: [-mark.at[0], mark.at[1], mark.at[2]],
    ...(mark.tooth === undefined ? {} : { tooth: ofOtherSide(mark.tooth) }),
  }));

/** The sample with its after scan mirrored, its triangles turned so that it still faces outwards. */
async function withMirroredAfter(set: string, palate: boolean): Promise<SampleCase> {
  const sample = new SampleCase(set);
  for (const name of ["before", "after"]) {
    const { file, archFrame, landmarks } = truthOf(set).scans[name]!;
    const { mesh } = await takeIn(bytesSource(file, readFileSync(resolve(FOLDER, set, file))), {}, UNWATCHED);
    const gingival = landmarks.flatMap(({ tooth, place, refound }) =>
      place === "palatal-gingival" ? [{ tooth: tooth!, at: refound }] : [],
    );
    const shown = palate
      ? { positions: mesh.positions.slice(), triangles: mesh.triangles.slice() }
      : withoutPalate(mesh, motionOf(archFrame), gingival);
    if (name === "after") {
      for (let i = 0; i < shown.positions.length; i += 3) shown.positions[i] = -shown.positions[i]!;
      for (let t = 0; t < shown.triangles.length; t += 3) shown.triangles.subarray(t, t + 2).reverse();
    }
    await sample.openBytes(name, `${name}.ply`, writePly(shown, "binary-little-endian", []));
  }
  return sample;
}

const toldMirrored = (readings: Readings): void => {
  expect(readings.halves).toMatchObject({
    state: "withheld",
    reason: { code: "not-same-palate", text: expect.stringMatching(/mirror image.*Export that scan again/) },
  });
  expect(readings.distance.state).toBe("withheld");
  expect(readings.crowns).toEqual([]);
  for (const { change } of readings.widths) {
    expect(change).toMatchObject({ state: "withheld", reason: { code: "not-same-palate" } });
  }
  expect(readings.warnings).toContainEqual(
    expect.objectContaining({ code: "identity", text: expect.stringContaining("mirror image") }),
  );
};

describe.each(["fan", "parallel"])("the %s sample with its after scan mirrored", (set) => {
  let sample: SampleCase;
  const { before, after } = marksOf(set);
  const only = (wanted: (mark: Landmark) => boolean) => ({
    before: { landmarks: before!.landmarks.filter(wanted) },
    after: { landmarks: mirroredMarks(after!.landmarks.filter(wanted)) },
  });
  beforeAll(async () => {
    sample = await withMirroredAfter(set, true);
  });

  test("is told a mirror image, and nothing is laid over", () => {
    toldMirrored(
      sample.measure(
        "before",
        "after",
        only(() => true),
      ).readings,
    );
  });

  test("is told so from the cusp tips of canines and first molars alone", () => {
    const few = only(
      ({ tooth, place }) => [13, 23, 16, 26].includes(tooth!) && /^(mesiobuccal-)?cusp-tip$/.test(place),
    );
    expect(few.before.landmarks.length).toBe(4);
    toldMirrored(sample.measure("before", "after", few).readings);
  });

  test("is suspected where two cusp tips give no arch frame, and that is the reason", () => {
    const two = only(({ tooth, place }) => [13, 23].includes(tooth!) && place === "cusp-tip");
    expect(two.before.landmarks.length).toBe(2);
    const { readings } = sample.measure("before", "after", two);
    const text = expect.stringMatching(/may be a mirror image.* Export that scan again/);
    expect(readings.halves).toMatchObject({ state: "withheld", reason: { text } });
    expect(readings.distance).toMatchObject({ state: "withheld", reason: { text } });
    expect(readings.warnings).toContainEqual(expect.objectContaining({ code: "identity", text }));
  });

  test("is told so without a palate too", async () => {
    const teeth = only(({ tooth }) => tooth !== undefined);
    toldMirrored((await withMirroredAfter(set, false)).measure("before", "after", teeth).readings);
  });
});
