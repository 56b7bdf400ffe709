import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { beforeAll, expect, test } from "vitest";
import type { Landmark } from "#core/arch/landmark";
import { apply, fromRotationVector, IDENTITY, type RigidTransform } from "#core/geometry/rigid-transform";
import { seededRandom } from "#core/geometry/seeded-random";
import { UNWATCHED } from "#core/job-control";
import type { Quantity, Readings } from "#core/readings/readings-document";
import { bytesSource } from "#core/scan/byte-source";
import { takeIn } from "#core/scan/intake";
import { writePly } from "#core/scan/write-ply";
import { marksOf, SampleCase, truthOf } from "./sample-case";

/**
 * The invented fan-shaped scans as they are, each in another pose, and each with its vertices and triangles in another
 * order, all written anew in single precision.
 */

const POSES: Readonly<Record<string, RigidTransform>> = {
  before: fromRotationVector([0.7, -1.1, 2.2], [35, -60, 18]),
  after: fromRotationVector([-1.9, 0.4, 0.9], [-42, 25, 70]),
};

/** The numbers 0 to n − 1 in another order (Fisher & Yates). */
function shuffled(n: number, random: () => number): Uint32Array {
  const order = Uint32Array.from({ length: n }, (_, i) => i);
  for (let i = n - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    [order[i], order[j]] = [order[j]!, order[i]!];
  }
  return order;
}

const inOrder = (n: number): Uint32Array => Uint32Array.from({ length: n }, (_, i) => i);

/** A scan of the sample moved, its vertices and triangles shuffled, as a file. */
async function written(name: string, pose: RigidTransform, shuffle: boolean): Promise<Uint8Array> {
  const { file } = truthOf("fan").scans[name]!;
  const bytes = readFileSync(resolve(import.meta.dirname, "../../../sample-meshes/fan", file));
  const { mesh } = await takeIn(bytesSource(file, bytes), { unit: "mm" }, UNWATCHED);
  const random = seededRandom(name.length);
  const order = shuffle ? shuffled : inOrder;
  const places = order(mesh.positions.length / 3, random);
  const faces = order(mesh.triangles.length / 3, random);
  const positions = new Float64Array(mesh.positions.length);
  places.forEach((to, from) => {
    const p = mesh.positions;
    positions.set(apply(pose, [p[3 * from]!, p[3 * from + 1]!, p[3 * from + 2]!]), 3 * to);
  });
  const triangles = new Uint32Array(mesh.triangles.length);
  faces.forEach((to, from) => {
    // The corners begin elsewhere as well; their order around stays.
    for (let k = 0; k < 3; k++)
      triangles[3 * to + (shuffle ? (k + to) % 3 : k)] = places[mesh.triangles[3 * from + k]!]!;
  });
  return writePly({ positions, triangles }, "binary-big-endian", []);
}

const moved = (landmarks: readonly Landmark[], pose: RigidTransform): Landmark[] =>
  landmarks.map((mark) => ({ ...mark, at: [...apply(pose, mark.at)] }));

type Registered = { readonly name: string; readonly reading: Quantity; readonly unit: "mm" | "degrees" };

/** Everything that came out of registrations. */
function registered({ halves, crowns, crownPairs }: Readings): Registered[] {
  if (halves.state === "withheld") throw new Error(halves.reason.text);
  const h = halves.reading;
  const found: Registered[] = [];
  const add = (name: string, reading: Quantity, unit: Registered["unit"]) => found.push({ name, reading, unit });
  for (const key of ["atCanines", "atMolars", "forwardShift", "occlusalShift"] as const) add(key, h[key], "mm");
  for (const key of ["openingAngle", "roll", "pitch", "turn"] as const) add(key, h[key], "degrees");
  for (const { tooth, motion } of crowns) {
    if (motion.state === "withheld") throw new Error(motion.reason.text);
    for (const given of [motion.reading.againstHalf, motion.reading.againstArch]) {
      if (given.state === "withheld") throw new Error(given.reason.text);
      for (const key of ["buccalShift", "mesialShift", "occlusalShift"] as const)
        add(`${tooth} ${key}`, given.reading[key], "mm");
      for (const key of ["buccalTipping", "mesialTipping", "turning"] as const)
        add(`${tooth} ${key}`, given.reading[key], "degrees");
    }
  }
  for (const { pair, angle } of crownPairs) add(pair, angle, "degrees");
  return found;
}

/** Differences of all widths and changes, mm. */
const widthDifferences = (a: Readings, b: Readings): number[] =>
  a.widths.flatMap((width, i) =>
    (["before", "after", "change"] as const).flatMap((key) => {
      const [one, other] = [width[key], b.widths[i]![key]];
      expect(other.state).toBe(one.state);
      return one.state === "given" && other.state === "given" ? [one.reading.value - other.reading.value] : [];
    }),
  );

let there: Readings;
let posed: Readings;
let reordered: Readings;
beforeAll(async () => {
  const marks = marksOf("fan");
  const read = async (poses: Readonly<Record<string, RigidTransform>>, shuffle: boolean): Promise<Readings> => {
    const sample = new SampleCase("fan");
    for (const name of ["before", "after"]) {
      await sample.openBytes(name, `${name}.ply`, await written(name, poses[name]!, shuffle));
    }
    return sample.measure(
      "before",
      "after",
      Object.fromEntries(
        ["before", "after"].map((name) => [name, { landmarks: moved(marks[name]!.landmarks, poses[name]!) }]),
      ),
    ).readings;
  };
  const asTheyLie = { before: IDENTITY, after: IDENTITY };
  there = await read(asTheyLie, false);
  posed = await read(POSES, false);
  reordered = await read(asTheyLie, true);
});

test("in another pose, through files in single precision: within 0.005 mm and 0.02 degrees", () => {
  const [one, other] = [registered(there), registered(posed)];
  expect(other.map(({ name }) => name)).toEqual(one.map(({ name }) => name));
  for (const [i, { name, reading, unit }] of one.entries()) {
    const difference = Math.abs(reading.value - other[i]!.reading.value);
    expect(difference, name).toBeLessThanOrEqual(unit === "mm" ? 0.005 : 0.02);
  }
  const widths = widthDifferences(there, posed);
  expect(widths.length).toBeGreaterThan(30);
  for (const difference of widths) expect(Math.abs(difference)).toBeLessThanOrEqual(0.005);
  expect(posed.patterns.map((p) => p.state === "given" && p.reading.verdict)).toEqual(
    there.patterns.map((p) => p.state === "given" && p.reading.verdict),
  );
});

test("vertices and triangles in another order: points stay; other samples of the surfaces matter less than their stated error", () => {
  for (const difference of widthDifferences(there, reordered)) expect(Math.abs(difference)).toBeLessThanOrEqual(1e-12);
  const other = registered(reordered);
  for (const [i, { name, reading }] of registered(there).entries()) {
    const difference = Math.abs(reading.value - other[i]!.reading.value);
    expect(difference, name).toBeLessThanOrEqual(reading.components.registration);
  }
});
