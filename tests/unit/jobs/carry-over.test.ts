import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import type { Landmark } from "#core/arch/landmark";
import { distance, type Vector3 } from "#core/geometry/vector";
import type { Readings } from "#core/readings/readings-document";
import { writePly } from "#core/scan/write-ply";
import { makeSamplePair } from "../../../sample-meshes/generator/sample-pair";
import { marksOf, SampleCase, type SampleTruth, truthOf } from "./sample-case";

const rootMeanSquare = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length);

/** The true spots of a scan, used exactly where they are. */
const exact = (truth: SampleTruth, name: string): Landmark[] =>
  truth.scans[name]!.landmarks.map(({ tooth, place, refound }) => ({
    ...(tooth === undefined ? {} : { tooth }),
    place: place as Landmark["place"],
    at: refound,
    snap: false,
  }));

/** Opened once for the whole file. */
const samples = { fan: new SampleCase("fan"), parallel: new SampleCase("parallel") };
beforeAll(async () => {
  for (const sample of Object.values(samples)) for (const name of ["before", "after"]) await sample.open(name);
});

describe.each(["fan", "parallel"] as const)("landmarks placed on the before scan of the %s sample only", (set) => {
  const truth = truthOf(set);
  let readings: Readings;
  beforeAll(() => {
    readings = samples[set].measure("before", "after", {
      before: { landmarks: exact(truth, "before") },
      after: { landmarks: [] },
    }).readings;
  });

  test("appear on the after scan as the same material points, within 0.05 mm (root mean square)", () => {
    const errors = readings.landmarks.flatMap((mark) => {
      if (mark.timepoint !== "after") return [];
      expect(mark.how).toBe("carried");
      const known = truth.scans.after!.landmarks.filter(
        (m) => (m.tooth ?? null) === mark.tooth && m.place === mark.place,
      );
      // Raphe points have one name: the nearest is the one meant.
      return [
        { name: `${mark.tooth} ${mark.place}`, off: Math.min(...known.map((m) => distance(m.material, mark.used))) },
      ];
    });
    expect(errors.length).toBe(truth.scans.before!.landmarks.length);
    for (const [what, of] of [
      ["crowns", errors.filter(({ name }) => !name.startsWith("null") && !name.includes("gingival"))],
      ["gingival points", errors.filter(({ name }) => name.includes("gingival"))],
      ["papilla and raphe", errors.filter(({ name }) => name.startsWith("null"))],
    ] as const) {
      expect(rootMeanSquare(of.map(({ off }) => off)), what).toBeLessThan(0.05);
    }
  });

  test("give every width and its change, within 0.05 mm of the truth (root mean square), and the right pattern", () => {
    expect(readings.made).toBe(readings.asked);
    const levels = { "cusp-tip": "cusp", "central-fossa": "fossa", "palatal-gingival": "gingival" } as const;
    const errors = readings.widths.flatMap((width) => {
      const level = levels[width.level as keyof typeof levels];
      const known = truth.widths.find((w) => w.pair === width.pair && w.level === level);
      if (known === undefined || width.change.state !== "given") return [];
      return [width.change.reading.value - (known.widths.after!.material - known.widths.before!.material)];
    });
    expect(errors.length).toBeGreaterThanOrEqual(12);
    expect(rootMeanSquare(errors)).toBeLessThan(0.05);
    for (const pattern of readings.patterns) {
      expect(pattern).toMatchObject({ state: "given", reading: { verdict: set === "fan" ? "fan-front" : "parallel" } });
    }
  });

  test("leave of the hand's error only what tipping makes of it; the registration's is small beside the scanner's", () => {
    for (const { change, before, pair } of readings.widths) {
      if (change.state === "withheld" || before.state === "withheld") throw new Error(`${pair} is withheld`);
      const { point, registration, scanner } = change.reading.components;
      expect(before.reading.components.point).toBe(0.25);
      expect(point).toBeLessThan(0.04);
      expect(registration).toBeGreaterThan(0);
      expect(registration).toBeLessThan(0.06);
      expect(scanner).toBeGreaterThan(0.07);
    }
  });
});

describe("landmarks carried the other way, and in part", () => {
  const sample = samples.fan;
  const truth = truthOf("fan");
  const carriedOff = (readings: Readings, timepoint: string): number[] =>
    readings.landmarks.flatMap((mark) => {
      if (mark.timepoint !== timepoint || mark.how !== "carried" || mark.tooth === null) return [];
      // Carried back from a spot found anew on the after scan; where that lay before the crown tipped is known by its motion.
      const known = truth.scans[timepoint]!.landmarks.find((m) => m.tooth === mark.tooth && m.place === mark.place)!;
      return [distance(known.refound, mark.used)];
    });

  test("from the after scan to the before scan", () => {
    const { readings } = sample.measure("before", "after", {
      before: { landmarks: [] },
      after: {
        landmarks: truth.scans.after!.landmarks.map((m) => ({
          ...m,
          place: m.place as Landmark["place"],
          at: m.material,
          snap: false,
        })),
      },
    });
    expect(readings.made).toBe(readings.asked);
    const off = carriedOff(readings, "before");
    expect(off.length).toBeGreaterThan(80);
    expect(rootMeanSquare(off)).toBeLessThan(0.05);
    const palatal = truth.scans.before!.landmarks.filter(({ tooth }) => tooth === undefined);
    const raphe = readings.landmarks.flatMap(({ timepoint, how, tooth, place, used }) =>
      timepoint === "before" && how === "carried" && tooth === null
        ? [Math.min(...palatal.filter((m) => m.place === place).map((m) => distance(m.refound, used)))]
        : [],
    );
    expect(raphe.length).toBe(palatal.length);
    expect(rootMeanSquare(raphe)).toBeLessThan(0.05);
  });

  test("a tooth marked on one scan only is carried, the others stay as they were placed on both", () => {
    const marks = marksOf("fan");
    const { readings } = sample.measure("before", "after", {
      before: marks.before!,
      after: { landmarks: marks.after!.landmarks.filter(({ tooth }) => tooth !== 26) },
    });
    expect(readings.made).toBe(readings.asked);
    for (const { timepoint, tooth, how } of readings.landmarks) {
      expect(how === "carried").toBe(timepoint === "after" && tooth === 26);
    }
    const molars = readings.widths.find(({ pair, level }) => pair === "6-6" && level === "cusp-tip")!;
    if (molars.change.state !== "given") throw new Error(molars.change.reason.text);
    expect(Math.abs(molars.change.reading.value - 2.8)).toBeLessThan(0.3);
    // One side placed twice, the other carried: the hand's error counts for one side only.
    expect(molars.change.reading.components.point).toBeGreaterThan(0.2);
    expect(molars.change.reading.components.point).toBeLessThan(0.3);
    expect(molars.changeIfCarried).toBeNull();
  });

  test("where points were placed on both, they stay, and the carried reading stands beside", () => {
    const { readings } = sample.measure("before", "after");
    expect(readings.landmarks.every(({ how }) => how !== "carried")).toBe(true);
    const after = readings.landmarks.filter(
      ({ timepoint, place }) => timepoint === "after" && place !== "median-raphe",
    );
    expect(after.every(({ carried }) => carried !== null)).toBe(true);
    const apart = after.map(({ used, carried }) => distance(used, carried as Vector3));
    expect(rootMeanSquare(apart)).toBeGreaterThan(0.02);
    for (const width of readings.widths) {
      if (width.change.state !== "given") throw new Error(width.change.reason.text);
      expect(width.changeIfCarried).not.toBeNull();
      expect(Math.abs(width.changeIfCarried!.value - width.change.reading.value)).toBeLessThan(0.7);
      expect(width.changeIfCarried!.standardUncertainty).toBeLessThan(width.change.reading.standardUncertainty);
    }
  });
});

test("the same arch scanned and triangulated again with 0.02 mm of noise changes no width by 0.05 mm", async () => {
  const pair = makeSamplePair({ seed: 41, triangles: 30_000 });
  const sample = new SampleCase("fan");
  for (const name of ["before", "after"]) {
    const { positions, triangles } = pair.meshes[name]!;
    const mesh = { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
    await sample.openBytes(name, `${name}.ply`, writePly(mesh, "binary-little-endian", []));
  }
  const { readings } = sample.measure("before", "after", {
    before: { landmarks: pair.marks.scans.before!.landmarks as Landmark[] },
    after: { landmarks: [] },
  });
  expect(readings.made).toBe(readings.asked);
  expect(readings.widths.length).toBeGreaterThanOrEqual(12);
  for (const { change, pair: name, at, withinMeasurementError } of readings.widths) {
    if (change.state !== "given") throw new Error(change.reason.text);
    expect(Math.abs(change.reading.value), `${name} ${at}`).toBeLessThan(0.05);
    expect(withinMeasurementError).toBe(true);
  }
  for (const pattern of readings.patterns) {
    expect(pattern).toMatchObject({ state: "given", reading: { verdict: "no-change" } });
  }
});

describe("what cannot be carried", () => {
  test("another patient's scan: nothing is carried, and the widths say why", async () => {
    const other = readFileSync(resolve(import.meta.dirname, "../../../sample-meshes/parallel/after.ply"));
    await samples.fan.openBytes("another", "after.ply", other);
    const { readings } = samples.fan.measure("before", "another", { before: marksOf("fan").before! });
    expect(readings.landmarks.filter(({ how }) => how === "carried")).toEqual([]);
    expect(readings.made).toBeLessThan(readings.asked);
    for (const { after, before } of readings.widths) {
      expect(before.state).toBe("given");
      expect(after).toMatchObject({
        state: "withheld",
        reason: { text: expect.stringContaining("could not be carried over") },
      });
    }
  });
});
