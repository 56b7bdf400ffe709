import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import type { Landmark } from "#core/arch/landmark";
import { DEGREES } from "#core/geometry/real";
import { apply, compose, invert, type RigidTransform } from "#core/geometry/rigid-transform";
import { distance, type Vector3 } from "#core/geometry/vector";
import { UNWATCHED } from "#core/job-control";
import type { HalvesReading, Quantity, Readings } from "#core/readings/readings-document";
import { bytesSource } from "#core/scan/byte-source";
import { takeIn } from "#core/scan/intake";
import { writePly } from "#core/scan/write-ply";
import { marksOf, motionOf, SampleCase, type SampleTruth, truthOf } from "./sample-case";
import { withoutPalate } from "./teeth-only";

type Marks = Record<string, { landmarks: Landmark[] }>;
type Cut = ReturnType<typeof withoutPalate>;
const FOLDER = resolve(import.meta.dirname, "../../../sample-meshes");

/** A sample scan as a scan of teeth and a cuff of gingiva. */
async function cutScan(set: string, name: string): Promise<Cut> {
  const { file, archFrame, landmarks } = truthOf(set).scans[name]!;
  const { mesh } = await takeIn(bytesSource(file, readFileSync(resolve(FOLDER, set, file))), {}, UNWATCHED);
  const gingival = landmarks.flatMap(({ tooth, place, refound }) =>
    place === "palatal-gingival" ? [{ tooth: tooth!, at: refound }] : [],
  );
  return withoutPalate(mesh, motionOf(archFrame), gingival);
}

const teethMarks = (set: string, wanted = (_: number) => true): Marks =>
  Object.fromEntries(
    Object.entries(marksOf(set)).map(([name, { landmarks }]) => [
      name,
      { landmarks: landmarks.filter(({ tooth }) => tooth !== undefined && wanted(tooth)) },
    ]),
  );

async function opened(set: string, change: (name: string, cut: Cut) => Cut = (_, cut) => cut): Promise<SampleCase> {
  const sample = new SampleCase(set);
  for (const name of ["before", "after"]) {
    const cut = change(name, await cutScan(set, name));
    await sample.openBytes(name, `${name}.ply`, writePly(cut, "binary-little-endian", []));
  }
  return sample;
}

const read = ({ halves }: Readings): HalvesReading => {
  if (halves.state === "withheld") throw new Error(halves.reason.text);
  return halves.reading;
};

/** How the halves, and with them all crowns of a side, were moved: in the before scan's frame as the reading has it. */
function expected(truth: SampleTruth, { reading, frame }: { reading: HalvesReading; frame: RigidTransform }) {
  const { right, left } = truth.motions.after!;
  const m = compose(frame, compose(compose(invert(motionOf(right)), motionOf(left)), invert(frame)));
  const opening = (teeth: readonly number[], height: number) => {
    const ys = truth.scans.before!.landmarks.flatMap(({ tooth, place, refound }) =>
      teeth.includes(tooth!) && place === "palatal-gingival" ? [apply(frame, refound)[1]] : [],
    );
    const p: Vector3 = [0, (ys[0]! + ys[1]!) / 2, height];
    return (apply(m, p)[0] - apply(invert(m), p)[0]) / 2;
  };
  const r = m.rotation;
  const [x, y, z] = [r[7] - r[5], r[2] - r[6], r[3] - r[1]].map((v) => Math.asin(v / 2) * DEGREES);
  return {
    atCanines: opening([13, 23], reading.heights.canines),
    atMolars: opening([16, 26], reading.heights.molars),
    openingAngle: z!,
    roll: -y!,
    pitch: x!,
  };
}

const frameOf = ({ frames }: Readings): RigidTransform => ({
  rotation: frames[0]!.rotation as unknown as RigidTransform["rotation"],
  translation: frames[0]!.translation as unknown as Vector3,
});

describe("scans of teeth and a cuff of gingiva, both sides moved apart in parallel, hardly a crown by itself", () => {
  const truth = truthOf("parallel");
  const marks = teethMarks("parallel");
  let readings: Readings;
  let carried: Readings;
  let sample: SampleCase;
  beforeAll(async () => {
    sample = await opened("parallel");
    readings = sample.measure("before", "after", marks).readings;
    carried = sample.measure("before", "after", { ...marks, after: { landmarks: [] } }).readings;
  });

  test("give the halves' reading from the crowns, labelled so, from a frame of the teeth", () => {
    const reading = read(readings);
    expect(readings.frames.map(({ label }) => label)).toEqual(["frame from the teeth", "frame from the teeth"]);
    expect(reading.of).toBe("crowns");
    expect(reading.label).toMatch(/^right and left crowns as two groups: teeth, not palatal surfaces; tipping/);
    expect(reading.because).toContain("groups of crowns");
    expect(reading.verdict).toBe("parallel");
    expect(readings.registrations.map((r) => (r.state === "given" ? r.reading.region : r.reason.text))).toEqual([
      "all-crowns",
      "right-group-of-crowns",
      "left-group-of-crowns",
    ]);
    expect(readings.made).toBe(readings.asked);
  });

  test("opened as they were moved: within 0.1 mm and 0.3 degrees, the truth inside each interval", () => {
    for (const of of [readings, carried]) {
      const reading = read(of);
      const so = expected(truth, { reading, frame: frameOf(of) });
      for (const key of ["atCanines", "atMolars", "openingAngle", "roll", "pitch"] as const) {
        const off = Math.abs((reading[key] as Quantity).value - so[key]);
        expect(off, key).toBeLessThan(key.startsWith("at") ? 0.1 : 0.3);
        expect(off, key).toBeLessThan((reading[key] as Quantity).expandedUncertainty);
      }
    }
  });

  test("no crown shows a motion against its group beyond its small own ones", () => {
    expect(readings.crowns.length).toBe(14);
    for (const { tooth, motion } of readings.crowns) {
      if (motion.state === "withheld" || motion.reading.againstHalf.state === "withheld") throw new Error(`${tooth}`);
      // The generator tips the crowns of the sides by 0 to 0.2 degrees.
      expect(Math.abs(motion.reading.againstHalf.reading.buccalTipping.value)).toBeLessThan(0.3);
    }
    expect(readings.warnings.filter(({ code }) => code === "half-fits-loosely")).toEqual([]);
  });

  test("carry the landmarks of one scan over by the crowns, within 0.06 mm (root mean square)", () => {
    const placed = new Map(marks.before!.landmarks.map((m) => [`${m.tooth} ${m.place}`, m]));
    const { teeth } = truth.motions.after!;
    const before = carried.landmarks.filter(({ timepoint }) => timepoint === "before");
    const after = carried.landmarks.filter(({ timepoint }) => timepoint === "after");
    expect(after.length).toBe(placed.size);
    const squares = after.map(({ tooth, place, how, used }) => {
      expect(how).toBe("carried");
      const from = before.find((m) => m.tooth === tooth && m.place === place)!;
      return distance(apply(motionOf(teeth[String(tooth)]!), from.used), used) ** 2;
    });
    expect(Math.sqrt(squares.reduce((a, b) => a + b, 0) / squares.length)).toBeLessThan(0.06);
  });

  test("the distance map and the overlay stand on all crowns", () => {
    expect(readings.distance).toMatchObject({ state: "given", reading: { registration: "all-crowns" } });
  });

  test("two crowns a side are no group: the halves are withheld with what to do", () => {
    const few = teethMarks("parallel", (tooth) => [13, 23, 16, 26].includes(tooth));
    const { halves, widths } = sample.measure("before", "after", few).readings;
    expect(halves).toMatchObject({
      state: "withheld",
      reason: { text: expect.stringMatching(/without a palate the right side needs 3 crowns .* Place the cusp tips/) },
    });
    expect(widths.every(({ change }) => change.state === "given")).toBe(true);
  });
});

describe("the fan-shaped sample without its palate, whose back teeth tipped by 2.5 degrees more than their halves", () => {
  test("shows the tipping in the groups, and a wider interval for it", async () => {
    const { readings } = (await opened("fan")).measure("before", "after", teethMarks("fan"));
    const reading = read(readings);
    expect(reading.verdict).toBe("fan-front");
    const so = expected(truthOf("fan"), { reading, frame: frameOf(readings) });
    // 2.5 degrees a side about a place above the crowns: up to 5 degrees of roll, and about 1 mm at the crowns.
    expect(reading.roll.value - so.roll).toBeGreaterThan(2);
    expect(reading.roll.value - so.roll).toBeLessThan(5);
    expect(reading.atMolars.value - so.atMolars).toBeGreaterThan(0.3);
    expect(reading.roll.components.registration).toBeGreaterThan(0.5);
    // The level of the words: neither the halves of a palate nor its opening.
    expect(readings.because).not.toContain("halves of the palate");
  });

  test("crowns pushed out of their row make it no rigid body: said, and withheld beyond 0.3 mm", async () => {
    const spots = (tooth: number) =>
      truthOf("fan").scans.after!.landmarks.filter((m) => m.tooth === tooth && !m.place.includes("gingival"));
    const near = [14, 16].flatMap((tooth) => spots(tooth).map(({ refound }) => refound));
    const pushed = (by: number) => (name: string, cut: Cut) => {
      if (name === "before") return cut;
      const { positions } = cut;
      const toFrame = motionOf(truthOf("fan").scans.after!.archFrame);
      // To buccal on the right side is −x of the arch frame.
      const way = toFrame.rotation.slice(0, 3).map((v) => -by * v);
      for (let v = 0; v < positions.length; v += 3) {
        const p: Vector3 = [positions[v]!, positions[v + 1]!, positions[v + 2]!];
        if (near.some((spot) => distance(spot, p) < 4)) for (let k = 0; k < 3; k++) positions[v + k]! += way[k]!;
      }
      return cut;
    };
    const marks = teethMarks("fan");
    const some = (await opened("fan", pushed(0.5))).measure("before", "after", marks).readings;
    const said = some.warnings.filter(({ code }) => code === "half-fits-loosely").map(({ text }) => text);
    expect(said).toEqual([expect.stringMatching(/^The group of the right crowns .* so they are not one rigid body/)]);
    const much = (await opened("fan", pushed(1.2))).measure("before", "after", marks).readings;
    expect(much.halves).toMatchObject({ state: "withheld", reason: { code: "identity-doubtful" } });
  });
});
