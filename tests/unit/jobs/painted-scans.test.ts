import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import type { Timepoint } from "#core/case/timepoint";
import { NO_DETAILS } from "#core/case/timepoint";
import { apply } from "#core/geometry/rigid-transform";
import type { Vector3 } from "#core/geometry/vector";
import { UNWATCHED } from "#core/job-control";
import type { PaintedBits } from "#core/jobs/job-list";
import { bitsFromMask } from "#core/mesh/painted-triangles";
import type { TriangleMesh } from "#core/mesh/triangle-mesh";
import type { Readings } from "#core/readings/readings-document";
import { bytesSource } from "#core/scan/byte-source";
import { takeIn } from "#core/scan/intake";
import { marksOf, motionOf, SampleCase, truthOf } from "./sample-case";

const SET = "parallel";
const truth = truthOf(SET);

interface PaintableScan {
  readonly mesh: TriangleMesh;
  readonly inFile: number;
}

async function scan(file: string): Promise<PaintableScan> {
  const bytes = readFileSync(resolve(import.meta.dirname, "../../../sample-meshes", SET, file));
  const { mesh, report } = await takeIn(bytesSource(file, bytes), {}, UNWATCHED);
  return { mesh, inFile: report.triangles.inFile };
}

/** The area within reach of a landmark (or a place in the arch frame), as the case and a request have it. */
function painted({ mesh, inFile }: PaintableScan, inside: (p: Vector3) => boolean) {
  const { positions, triangles } = mesh;
  const mask = Uint8Array.from({ length: triangles.length / 3 }, (_, t) => {
    const v = 3 * triangles[3 * t]!;
    return inside([positions[v]!, positions[v + 1]!, positions[v + 2]!]) ? 1 : 0;
  });
  const bits = bitsFromMask(mesh, mask, inFile);
  const sha256 = createHash("sha256").update(bits).digest("hex");
  return { area: { sha256, triangles: inFile }, painted: { [sha256]: bits } };
}

const spotOn = (timepoint: string, tooth: number, place: string): Vector3 =>
  truth.scans[timepoint]!.landmarks.find((m) => m.tooth === tooth && m.place === place)!.refound;

const near = (at: Vector3, radius: number) => (p: Vector3) =>
  Math.hypot(p[0] - at[0], p[1] - at[1], p[2] - at[2]) < radius;

const widthOf = (readings: Readings, pair: string, level = "cusp-tip") =>
  readings.widths.find((w) => w.pair === pair && w.level === level)!;

describe("what an appliance covers", () => {
  const sample = new SampleCase(SET);
  let before: PaintableScan;
  let after: PaintableScan;
  let bare: Readings;
  beforeAll(async () => {
    await sample.open("before");
    await sample.open("after");
    before = await scan(truth.scans.before!.file);
    after = await scan(truth.scans.after!.file);
    bare = sample.measure("before", "after").readings;
  });

  const measured = (areas: Record<string, Partial<Timepoint>>, bits: PaintedBits = {}, landmarks = marksOf(SET)) =>
    sample.measure(
      "before",
      "after",
      landmarks,
      [],
      (document) => ({
        ...document,
        timepoints: document.timepoints.map((timepoint) => ({ ...timepoint, ...areas[timepoint.name] })),
      }),
      bits,
    ).readings;

  const crownOf = (readings: Readings, tooth: number) => readings.crowns.find((c) => c.tooth === tooth)!.motion;
  const given = <T>(reading: { state: "given"; reading: T } | { state: "withheld"; reason: { text: string } }): T => {
    if (reading.state === "withheld") throw new Error(reading.reason.text);
    return reading.reading;
  };

  describe("on the after scan: one cusp of 16, and all of 27", () => {
    let readings: Readings;
    beforeAll(() => {
      const cusp = near(spotOn("after", 16, "mesiobuccal-cusp-tip"), 1.5);
      const crown = near(spotOn("after", 27, "central-fossa"), 8);
      const { area, painted: bits } = painted(after, (p) => cusp(p) || crown(p));
      readings = measured({ after: { appliancePainted: area } }, bits);
    });

    test("withholds the readings whose points touch it, with what to do, and no others", () => {
      const molars = widthOf(readings, "6-6");
      expect(molars.change).toMatchObject({
        state: "withheld",
        reason: {
          code: "masked",
          text: "the mesiobuccal cusp tip of 16 lies on what the appliance covers on the after scan: place it beside, or wipe the mask there if the tooth itself is seen",
        },
      });
      expect(molars.before.state).toBe("given");
      expect(molars.after).toMatchObject({ state: "withheld", reason: { code: "masked" } });
      for (const w of readings.widths) {
        const hidden = w.pair === "7-7" || (w.pair === "6-6" && w.level === "cusp-tip");
        expect(w.change.state).toBe(hidden ? "withheld" : "given");
      }
      expect(readings.asked).toBe(bare.asked);
      const used = (of: Readings) => of.landmarks.filter((m) => m.timepoint === "after" && m.tooth === 16).length;
      expect(used(readings)).toBe(used(bare) - 1);
    });

    test("withholds the crown of which too little is left, and registers the other by the rest of it", () => {
      expect(crownOf(readings, 27)).toMatchObject({ state: "withheld", reason: { code: "masked" } });
      expect(crownOf(readings, 26).state).toBe("given");
      const [part, full] = [given(crownOf(readings, 16)), given(crownOf(bare, 16))];
      expect(part.overlap).toBeLessThan(full.overlap - 0.02);
      const off = part.translation.map((v, i) => v - full.translation[i]!);
      expect(Math.hypot(...off)).toBeLessThan(0.5);
    });

    test("has no distance and is not counted in the summary", () => {
      const [part, full] = [given(readings.distance), given(bare.distance)];
      expect(part.valued).not.toBe(full.valued);
      expect(Math.abs(part.mean - full.mean)).toBeGreaterThan(1e-4);
    });
  });

  test("on the before scan it leaves the crown too little as well, and hides a tooth with all its landmarks", () => {
    const part = near(spotOn("before", 16, "central-fossa"), 4.2);
    const whole = near(spotOn("before", 27, "central-fossa"), 9);
    const { area, painted: bits } = painted(before, (p) => part(p) || whole(p));
    const readings = measured({ before: { appliancePainted: area } }, bits);
    expect(crownOf(readings, 16)).toMatchObject({
      state: "withheld",
      reason: {
        code: "masked",
        text: expect.stringMatching(/^an appliance covers \d+ % of the crown on the before scan/),
      },
    });
    expect(crownOf(readings, 27)).toMatchObject({
      state: "withheld",
      reason: { code: "masked", text: "not measurable: an appliance covers the crown on the before scan" },
    });
  });

  test("takes no carried point", () => {
    const { area, painted: bits } = painted(after, near(spotOn("after", 16, "mesiobuccal-cusp-tip"), 2));
    const marks = marksOf(SET);
    const palatal = marks.after!.landmarks.filter(({ tooth }) => tooth === undefined);
    const readings = measured({ after: { appliancePainted: area } }, bits, { ...marks, after: { landmarks: palatal } });
    expect(widthOf(readings, "6-6").change).toMatchObject({ state: "withheld", reason: { code: "masked" } });
    expect(widthOf(readings, "4-4").change.state).toBe("given");
  });

  test("crowns under a bonded splint are not measurable, nor are their cusps; the gingiva beside them is", () => {
    const details = {
      ...NO_DETAILS,
      appliance: { kind: "bonded-splint", removedDaysAgo: null, teeth: [16, 26] },
    } as const;
    const readings = measured({
      after: { details: { ...details, appliance: { ...details.appliance, teeth: [16, 26] } } },
    });
    for (const { tooth, motion } of readings.crowns) {
      if (tooth !== 16 && tooth !== 26) expect(motion.state).toBe("given");
      else {
        expect(motion).toMatchObject({
          state: "withheld",
          reason: {
            code: "masked",
            text: expect.stringMatching(/^not measurable: a bonded splint covers the crown on the after scan/),
          },
        });
      }
    }
    expect(widthOf(readings, "6-6").change).toMatchObject({
      state: "withheld",
      reason: { code: "masked", text: expect.stringMatching(/^not measurable: a bonded splint/) },
    });
    expect(widthOf(readings, "6-6", "palatal-gingival").change.state).toBe("given");
  });

  test("over the palate, nothing is registered until it is painted; then the rest of the palate is", () => {
    const frame = motionOf(truth.scans.after!.archFrame);
    const details = {
      ...NO_DETAILS,
      appliance: { kind: "over-the-palate", removedDaysAgo: null, teeth: [] as number[] },
    } as const;
    const timepoint: Partial<Timepoint> = { details: { ...details, appliance: { ...details.appliance, teeth: [] } } };
    const refused = measured({ after: timepoint });
    for (const given of [...refused.registrations, refused.halves, refused.distance]) {
      expect(given).toMatchObject({
        state: "withheld",
        reason: { code: "masked", text: expect.stringContaining("Paint what the appliance covers on that scan") },
      });
    }
    expect(widthOf(refused, "6-6").change.state).toBe("given");
    const screw = painted(after, (p) => {
      const [x, y, z] = apply(frame, p);
      return Math.abs(x) < 6 && y > 15 && y < 30 && z > 4;
    });
    const given = measured({ after: { ...timepoint, appliancePainted: screw.area } }, screw.painted);
    expect(given.halves.state).toBe("given");
  });

  test("a reference painted on the before scan registers the palate; on the after scan alone it is said to be too little", () => {
    const frame = (name: string) => motionOf(truth.scans[name]!.archFrame);
    const rugae = (name: string) => (p: Vector3) => {
      const [x, y, z] = apply(frame(name), p);
      return Math.abs(x) < 12 && y > 6 && y < 32 && z > 4;
    };
    const first = painted(before, rugae("before"));
    const readings = measured({ before: { referencePainted: first.area } }, first.painted);
    const [whole] = readings.registrations;
    expect(whole).toMatchObject({
      state: "given",
      reading: { label: expect.stringContaining("reference painted on the before scan") },
    });
    expect(readings.halves.state).toBe("given");
    // What of the after scan lies over it has figures of its own, not those of the whole surface.
    const distance = given(readings.distance);
    expect(distance.painted).toMatchObject({ on: "before" });
    expect(Math.abs(distance.painted!.rms)).toBeLessThan(distance.rms);
    expect(distance.painted!.robustScale).toBeGreaterThan(0);
    const { counts, below, above } = distance.histogram;
    const all = counts.reduce((sum, count) => sum + count, below + above);
    expect(all).toBeGreaterThan((0.5 * after.mesh.positions.length) / 3);
    expect(given(bare.distance).painted).toBeNull();
    const second = painted(after, rugae("after"));
    const later = measured({ after: { referencePainted: second.area } }, second.painted);
    expect(later.warnings).toContainEqual(expect.objectContaining({ code: "reference-on-later-scan" }));
    expect(given(later.distance).painted).toMatchObject({ on: "after" });
    expect(later.registrations[0]).toMatchObject({
      state: "given",
      reading: { label: expect.not.stringContaining("painted") },
    });
  });

  test("bits that are missing or of another file are refused", () => {
    const { area, painted: bits } = painted(after, near(spotOn("after", 16, "central-fossa"), 2));
    expect(() => measured({ after: { appliancePainted: area } })).toThrowError(
      expect.objectContaining({ code: "bad-request", problem: expect.stringContaining("is not there") }),
    );
    expect(() => measured({ before: { appliancePainted: area } }, bits)).toThrowError(
      expect.objectContaining({ code: "bad-request" }),
    );
  });
});
