import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { distance } from "#core/geometry/vector";
import { nearestOnMesh } from "../../../sample-meshes/generator/marks";
import { makeSamplePair, type SamplePairOptions, type SampleTruth } from "../../../sample-meshes/generator/sample-pair";
import { FAN, PARALLEL } from "../../../sample-meshes/generator/sample-sets";
import type { SurfaceMesh } from "../../../sample-meshes/generator/surface-nets";

const folder = join(import.meta.dirname, "../../../sample-meshes");
const truthOf = (name: string): SampleTruth =>
  JSON.parse(readFileSync(join(folder, name, `truth-${name}.json`), "utf8"));
const changeOf = (truth: SampleTruth, pair: string, level: string, from: string, to: string) => {
  const w = truth.widths.find((x) => x.pair === pair && x.level === level)!.widths;
  return w[to]!.material - w[from]!.material;
};

/** The mesh of a binary PLY as `toPly` writes it. */
function readPly(path: string): SurfaceMesh {
  const bytes = readFileSync(path);
  const start = bytes.indexOf("end_header\n") + 11;
  const header = bytes.subarray(0, start).toString("latin1");
  const vertices = Number(/element vertex (\d+)/.exec(header)![1]);
  const faces = Number(/element face (\d+)/.exec(header)![1]);
  const positions = Float64Array.from({ length: vertices * 3 }, (_, i) => bytes.readFloatLE(start + 4 * i));
  const first = start + 12 * vertices;
  const triangles = Uint32Array.from({ length: faces * 3 }, (_, i) =>
    bytes.readInt32LE(first + 13 * Math.floor(i / 3) + 1 + 4 * (i % 3)),
  );
  return { positions, triangles };
}

describe("the committed samples", () => {
  it.each<[string, SamplePairOptions]>([
    ["fan", FAN],
    ["parallel", PARALLEL],
  ])("%s: the truth is what the generator makes today", (name, options) => {
    const committed = truthOf(name);
    const made = makeSamplePair({ ...options, triangles: 5000 }).truth;
    for (const [scan, truth] of Object.entries(committed.scans)) {
      const now = made.scans[scan]!;
      expect(now.landmarks.length).toBe(truth.landmarks.length);
      truth.landmarks.forEach((l, i) => {
        for (let axis = 0; axis < 3; axis++) {
          expect(now.landmarks[i]!.refound[axis as 0]).toBeCloseTo(l.refound[axis as 0], 8);
          expect(now.landmarks[i]!.material[axis as 0]).toBeCloseTo(l.material[axis as 0], 8);
        }
      });
    }
    expect(made.patterns.map((p) => p.verdict)).toEqual(committed.patterns.map((p) => p.verdict));
  });

  it("fan: about 5.5 to 6 mm at the canines, about 2.8 to 3 mm at the first molars, less at the gingiva", () => {
    const fan = truthOf("fan");
    expect(changeOf(fan, "3-3", "cusp", "before", "after")).toBeGreaterThan(5.5);
    expect(changeOf(fan, "3-3", "cusp", "before", "after")).toBeLessThan(6);
    expect(changeOf(fan, "6-6", "cusp", "before", "after")).toBeGreaterThan(2.8);
    expect(changeOf(fan, "6-6", "cusp", "before", "after")).toBeLessThan(3.1);
    for (const pair of ["3-3", "4-4", "5-5", "6-6", "7-7"]) {
      expect(changeOf(fan, pair, "gingival", "before", "after")).toBeLessThan(
        changeOf(fan, pair, "cusp", "before", "after"),
      );
    }
    expect(fan.patterns.filter((p) => p.to === "after").every((p) => p.verdict === "fan-front")).toBe(true);
    const lost =
      -changeOf(fan, "3-3", "cusp", "after", "in-retention") / changeOf(fan, "3-3", "cusp", "before", "after");
    expect(lost).toBeGreaterThan(0.15);
    expect(lost).toBeLessThan(0.2);
  });

  it("parallel: about 4.5 mm at every pair and both levels", () => {
    const parallel = truthOf("parallel");
    for (const pair of ["3-3", "4-4", "5-5", "6-6", "7-7"]) {
      for (const level of ["cusp", "gingival"]) {
        expect(Math.abs(changeOf(parallel, pair, level, "before", "after") - 4.5)).toBeLessThan(0.2);
      }
    }
    for (const p of parallel.patterns) {
      expect(Math.abs(p.difference)).toBeLessThan(0.2);
      expect(p.verdict).toBe("parallel");
    }
  });

  it("are named and counted in the truth as they lie in the folders", () => {
    for (const name of ["fan", "parallel"]) {
      for (const scan of Object.values(truthOf(name).scans)) {
        const bytes = readFileSync(join(folder, name, scan.file));
        expect(bytes.subarray(0, 200).toString("latin1")).toContain("invented sample, no patient");
        const count = scan.file.endsWith(".stl")
          ? bytes.readUInt32LE(80)
          : Number(/element face (\d+)/.exec(bytes.subarray(0, 400).toString("latin1"))![1]);
        expect(count).toBe(scan.triangles);
      }
    }
  });

  it.each(["fan", "parallel"])("%s: the landmarks lie on the scan, within noise and triangle size", (name) => {
    const scan = truthOf(name).scans.after!;
    const mesh = readPly(join(folder, name, scan.file));
    for (const l of scan.landmarks) {
      const near = nearestOnMesh(mesh, l.refound, 1);
      expect(near, `${l.tooth} ${l.place}`).not.toBeNull();
      // Contacts and the fissure at the fossa are narrower than the triangles.
      const narrow = l.place.endsWith("contact") ? 0.5 : l.place === "central-fossa" ? 0.2 : 0.1;
      expect(distance(near!, l.refound), `${l.tooth} ${l.place}`).toBeLessThan(narrow);
    }
  });
});
