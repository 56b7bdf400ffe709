import { describe, expect, test } from "vitest";
import { DEFAULT_SETTINGS } from "#core/case/case-document";
import { fromRotationVector, IDENTITY, type RigidTransform } from "#core/geometry/rigid-transform";
import type { Vector3 } from "#core/geometry/vector";
import type { BareMesh } from "#core/mesh/filled-holes";
import { maskedSurface } from "#core/mesh/masked-surface";
import { surfaceOf } from "#core/mesh/surface";
import type { SpanReading } from "#core/readings/arch-document";
import { readArch } from "#core/readings/arch-readings";
import { archScan } from "#core/readings/arch-scan";
import { heightField } from "../mesh/palate-vaults";
import { inventedArch, moving, type Spot, scanOf } from "./invented-full-arch";

const POSES = [
  fromRotationVector([0.4, -0.3, 1.1], [30, -12, 50]),
  fromRotationVector([-0.6, 1.2, -0.8], [-70, 22, 5]),
] as const;

/** z = 18 − a·x² all along the arch; the gingival points of the invented arch lie at z = 6. */
const vault = (a: number, y0 = -14): BareMesh => heightField((x) => 18 - a * x * x, [-28, 28], [y0, 40], 0.4);
const narrow = vault(0.03);
const wide = vault(0.024);

/** The gingival points of each side 2 mm outwards, like the wider vault's foot. */
const opened = moving(inventedArch(), ({ tooth, at: [x, y, z] }) => [
  tooth === null ? x : x + (tooth < 20 ? -2 : 2),
  y,
  z,
]);

function palate(
  before: readonly Spot[],
  after: readonly Spot[],
  meshes: readonly [BareMesh, BareMesh],
  poses: readonly RigidTransform[] = [IDENTITY, IDENTITY],
): Map<string, SpanReading> {
  const [first, second] = [before, after].map((spots, i) =>
    scanOf(["before", "after"][i]!, spots, DEFAULT_SETTINGS, poses[i], meshes[i]),
  );
  const { arch } = readArch(first!, second!, new Set(), DEFAULT_SETTINGS);
  return new Map(arch.palate.map((reading) => [reading.name, reading]));
}

function values(reading: SpanReading | undefined): { before: number; after: number; change: number; u: number } {
  if (reading?.before.state !== "given" || reading.after.state !== "given" || reading.change.state !== "given")
    throw new Error(`${reading?.name} withheld`);
  const { before, after, change } = reading;
  return {
    before: before.reading.value,
    after: after.reading.value,
    change: change.reading.value,
    u: change.reading.standardUncertainty,
  };
}

/** ∫ (12 − a·x²) over the outline, by thin strips across it. */
function volumeOver(outline: readonly Vector3[], a: number): number {
  const step = 0.002;
  let sum = 0;
  for (let x = -30 + step / 2; x < 30; x += step) {
    const cuts = outline
      .flatMap(([px, py], i) => {
        const [qx, qy] = outline[(i + 1) % outline.length]!;
        return px > x === qx > x ? [] : [py + ((qy - py) * (x - px)) / (qx - px)];
      })
      .sort((p, q) => p - q);
    for (let i = 0; i + 1 < cuts.length; i += 2) sum += Math.max(0, 12 - a * x * x) * (cuts[i + 1]! - cuts[i]!) * step;
  }
  return sum;
}

/** The gingival points from 16 over the front to 26, and where the sides end at the distal of the first molars. */
function outlineOf(spots: readonly Spot[]): Vector3[] {
  const at = (tooth: number) => spots.find((one) => one.tooth === tooth && one.place === "palatal-gingival")!.at;
  const margin = [16, 15, 14, 13, 12, 11, 21, 22, 23, 24, 25, 26].map(at);
  const back = (first: Vector3, second: Vector3): Vector3 => {
    const share = (28 - first[1]) / (second[1] - first[1]);
    return [first[0] + share * (second[0] - first[0]), 28, 6];
  };
  return [back(at(16), at(17)), ...margin, back(at(26), at(27))];
}

describe("the palate of an invented arch, in closed form", () => {
  const read = palate(inventedArch(), opened, [narrow, wide], POSES);

  test("height over the occlusal plane and over the line of the gingival points differ by the height of the crowns", () => {
    expect(values(read.get("palatal height over the occlusal plane")).before).toBeCloseTo(18, 2);
    expect(values(read.get("palatal height over the gingival line")).before).toBeCloseTo(12, 2);
    // Central fossae at 24.5 mm beside the midline.
    expect(values(read.get("palatal height index")).before).toBeCloseTo((100 * 18) / 49, 1);
  });

  test("cross-section at the first molars: ∫ (12 − a·x²) between points 20 and 22 mm beside the midline", () => {
    const { before, after } = values(read.get("palatal cross-section at the first molars"));
    expect(Math.abs(before / (2 * (12 * 20 - (0.03 * 20 ** 3) / 3)) - 1)).toBeLessThan(2e-3);
    expect(Math.abs(after / (2 * (12 * 22 - (0.024 * 22 ** 3) / 3)) - 1)).toBeLessThan(2e-3);
  });

  test("cross-section at the canines: closed by upright walls over the points", () => {
    const half = 16.5 - 4.5 * 0.8;
    const { before } = values(read.get("palatal cross-section at the canines"));
    expect(Math.abs(before / (2 * (12 * half - (0.03 * half ** 3) / 3)) - 1)).toBeLessThan(2e-3);
  });

  test("volume inside the gingival points, in front of the distal of the first molars, within 0.1 % of strips", () => {
    const { before, after, change } = values(read.get("palatal volume"));
    const exact = [volumeOver(outlineOf(inventedArch()), 0.03), volumeOver(outlineOf(opened), 0.024)] as const;
    expect(Math.abs(before / exact[0] - 1)).toBeLessThan(1e-3);
    expect(Math.abs(after / exact[1] - 1)).toBeLessThan(1e-3);
    expect(change).toBeCloseTo(after - before, 9);
    const { by } = read.get("palatal volume")!;
    expect(by).toContain("0.0 mm on the before scan");
    expect(by).toContain("16, 15, 14, 13, 12, 11, 21, 22, 23, 24, 25 and 26");
  });

  test("rigid motion of the scans changes nothing by more than 1e-7 of its size", () => {
    const still = palate(inventedArch(), opened, [narrow, wide]);
    for (const [name, reading] of read) {
      const [a, b] = [values(reading), values(still.get(name))];
      expect(Math.abs(a.change - b.change) / Math.abs(b.before), name).toBeLessThan(1e-7);
      expect(Math.abs(a.u - b.u) / b.u, name).toBeLessThan(1e-2);
    }
  });

  test("a tooth without its gingival point on one scan bounds neither, and is not named", () => {
    const lacking = opened.filter(({ tooth, place }) => !(tooth === 12 && place === "palatal-gingival"));
    const volume = palate(inventedArch(), lacking, [narrow, wide]).get("palatal volume")!;
    expect(volume.by).toContain("13, 11");
    const without = outlineOf(inventedArch()).filter((_, i) => i !== 5);
    expect(Math.abs(values(volume).before / volumeOver(without, 0.03) - 1)).toBeLessThan(1e-3);
  });
});

describe("the uncertainty of palatal readings", () => {
  test("of the height over the gingival line: a quarter of each point's height error, the place along the palate, no more", () => {
    const { u } = values(
      palate(inventedArch(), inventedArch(), [narrow, narrow]).get("palatal height over the gingival line"),
    );
    // Half of each point's error upwards (0.25/√2 each), on both scans: 0.177; tilts of the frame and scanner add little.
    expect(u).toBeGreaterThan(0.177);
    expect(u).toBeLessThan(0.26);
  });

  test("of the cross-section: end points 0.25/√2 mm off in each direction, against the line they carry", () => {
    const assumed = { ...DEFAULT_SETTINGS, scanner: { atCanines: 0, atMolars: 0, local: 0 } };
    const scans = ["before", "after"].map((name) => scanOf(name, inventedArch(), assumed, IDENTITY, narrow));
    const { arch } = readArch(scans[0]!, scans[1]!, new Set(), assumed);
    const { before } = arch.palate.find(({ name }) => name.includes("first molars"))!;
    if (before.state !== "given") throw new Error("withheld");
    // Upwards an end moves half of the area under the line, 20 mm²/mm; outwards there is no height left to gain.
    const ends = Math.SQRT2 * 20 * (0.25 / Math.SQRT2);
    expect(before.reading.components.point).toBeGreaterThan(ends * 0.98);
    expect(before.reading.components.point).toBeLessThan(ends * 1.1);
  });

  test("the scanner's error across the arch bends the surface with the points: of a flat roof's section it leaves u·height", () => {
    const roof = heightField(() => 16, [-28, 28], [-14, 40], 0.4);
    const assumed = { ...DEFAULT_SETTINGS, pointWidth: 0, scanner: { atCanines: 0, atMolars: 0.12, local: 0 } };
    const scan = (name: string) => scanOf(name, inventedArch(), assumed, IDENTITY, roof);
    const { arch } = readArch(scan("before"), scan("after"), new Set(), assumed);
    const { before } = arch.palate.find(({ name }) => name.includes("first molars"))!;
    if (before.state !== "given") throw new Error("withheld");
    // Station of the points 23 mm behind, of the cusps 20.5; canines' cusps at y = 0.7.
    const across = (0.12 * (23 - 0.7)) / (20.5 - 0.7);
    expect(before.reading.components.scanner).toBeGreaterThan(10 * across * 0.99);
  });
});

describe("palates that cannot be read", () => {
  test("a scan that ends in front of the molars withholds what lies behind, with the reason", () => {
    const short = heightField((x) => 18 - 0.03 * x * x, [-28, 28], [-14, 15], 0.4);
    const read = palate(inventedArch(), opened, [narrow, short]);
    for (const name of ["palatal volume", "palatal cross-section at the first molars"]) {
      expect(read.get(name)!.change).toMatchObject({
        state: "withheld",
        reason: { code: "surface-incomplete", text: expect.stringContaining("after scan") },
      });
    }
    expect(read.get("palatal cross-section at the canines")!.change.state).toBe("given");
  });

  test("where an appliance covers the palate nothing is read there", () => {
    const plain = scanOf("before", inventedArch(), DEFAULT_SETTINGS);
    const surface = surfaceOf({ ...narrow, fileTriangles: Uint32Array.from(narrow.triangles.keys()) });
    const painted = new Uint8Array(narrow.triangles.length / 3);
    for (let t = 0; t < painted.length; t++) {
      const v = 3 * narrow.triangles[3 * t]!;
      if (Math.hypot(narrow.positions[v]!, narrow.positions[v + 1]! - 15) < 5) painted[t] = 1;
    }
    const scan = archScan(plain.points, plain.frame, maskedSurface(surface, painted), DEFAULT_SETTINGS);
    const { arch } = readArch(scan, scan, new Set(), DEFAULT_SETTINGS);
    const state = (part: string) => arch.palate.find(({ name }) => name.includes(part))!.change;
    expect(state("volume")).toMatchObject({ state: "withheld", reason: { code: "masked" } });
    expect(state("canines").state).toBe("given");
    expect(state("first molars").state).toBe("given");
  });

  test("without gingival points nothing is asked of the palate, and the points are named", () => {
    const cusps = inventedArch().filter(({ place }) => place !== "palatal-gingival");
    const scan = scanOf("before", cusps, DEFAULT_SETTINGS, IDENTITY, narrow);
    const { arch } = readArch(scan, scan, new Set(), DEFAULT_SETTINGS);
    const volume = arch.notAsked.find(({ reading }) => reading === "palatal volume")!;
    expect(volume.points).toBe("palatal gingival point of 16, 15, 14, 13, 12, 11, 21, 22, 23, 24, 25 and 26");
  });
});
