import { describe, expect, it } from "vitest";
import { fromRotationVector } from "#core/geometry/rigid-transform";
import { LOWER_CROWN_SIZES, UPPER_CROWN_SIZES } from "../../../sample-meshes/generator/crown-sizes";
import { makeLowerArch } from "../../../sample-meshes/generator/lower-arch";
import { Random } from "../../../sample-meshes/generator/random";
import { INVENTED, toPly, toStl } from "../../../sample-meshes/generator/scan-files";
import { ScanBorder, scanSurface } from "../../../sample-meshes/generator/scan-surface";
import { posed, scanned } from "../../../sample-meshes/generator/scanner";
import type { PlacedTooth } from "../../../sample-meshes/generator/tooth-placing";
import { NARROW_ARCH, UpperArch } from "../../../sample-meshes/generator/upper-arch";

const arch = new UpperArch(NARROW_ARCH, 3);
const border = new ScanBorder(arch.backY, null, new Random(1));
const surface = scanSurface(
  arch.field,
  border,
  { triangles: 9000, low: [-38, -11, -11], high: [38, arch.backY + 4, 22] },
  new Random(2),
);

/** Extent of a crown above its neck along u, v and w, mm, felt out on its field. */
function extentOf(tooth: PlacedTooth): { mesiodistal: number; buccopalatal: number; height: number } {
  const field = tooth.field;
  const low = [0, 0, 0];
  const high = [0, 0, 0];
  for (let u = -7; u <= 7; u += 0.1) {
    for (let v = -7; v <= 7; v += 0.1) {
      for (let w = 0.2; w <= 12.5; w += 0.1) {
        field.evaluate(u, v, w);
        if (field.crown > 0) continue;
        for (const [i, x] of [u, v, w].entries()) {
          low[i] = Math.min(low[i]!, x);
          high[i] = Math.max(high[i]!, x);
        }
      }
    }
  }
  return { mesiodistal: high[0]! - low[0]!, buccopalatal: high[1]! - low[1]!, height: high[2]! };
}

describe("the crowns", () => {
  it("have about the average sizes of the handbook table", () => {
    for (const tooth of arch.teeth.filter((t) => t.left)) {
      const size = UPPER_CROWN_SIZES[(tooth.tooth % 10) - 1]!;
      const extent = extentOf(tooth);
      expect(Math.abs(extent.mesiodistal / size.mesiodistal - 1), `${tooth.tooth} mesiodistal`).toBeLessThan(0.08);
      expect(Math.abs(extent.buccopalatal / size.buccopalatal - 1), `${tooth.tooth} buccopalatal`).toBeLessThan(0.1);
      expect(Math.abs(extent.height / size.height - 1), `${tooth.tooth} height`).toBeLessThan(0.08);
    }
    expect(LOWER_CROWN_SIZES).toHaveLength(7);
  });

  it("stand in order on both sides, each touching the next", () => {
    for (const left of [false, true]) {
      const side = arch.teeth.filter((t) => t.left === left);
      side.slice(1).forEach((tooth, i) => {
        const before = side[i]!;
        const apart = Math.sqrt((tooth.origin[0] - before.origin[0]) ** 2 + (tooth.origin[1] - before.origin[1]) ** 2);
        const together = (tooth.size.mesiodistal + before.size.mesiodistal) / 2;
        expect(apart / together, `${before.tooth} ${tooth.tooth}`).toBeGreaterThan(0.75);
        expect(apart / together, `${before.tooth} ${tooth.tooth}`).toBeLessThan(1.15);
      });
    }
  });
});

describe("the scanned surface", () => {
  it("has about as many triangles as asked for", () => {
    expect(surface.triangles.length / 3).toBeGreaterThan(8000);
    expect(surface.triangles.length / 3).toBeLessThan(9100);
  });

  it("lies on the arch and faces outward, counter-clockwise", () => {
    const p = surface.positions;
    let inward = 0;
    let looked = 0;
    for (let t = 0; t < surface.triangles.length; t += 3) {
      const [a, b, c] = [0, 1, 2].map((i) => surface.triangles[t + i]! * 3) as [number, number, number];
      const u = [0, 1, 2].map((i) => p[b + i]! - p[a + i]!);
      const v = [0, 1, 2].map((i) => p[c + i]! - p[a + i]!);
      const n = [u[1]! * v[2]! - u[2]! * v[1]!, u[2]! * v[0]! - u[0]! * v[2]!, u[0]! * v[1]! - u[1]! * v[0]!];
      const l = Math.sqrt(n[0]! * n[0]! + n[1]! * n[1]! + n[2]! * n[2]!);
      const m = [0, 1, 2].map((i) => (p[a + i]! + p[b + i]! + p[c + i]!) / 3);
      // Where a coarse triangle cuts a crease short, its middle says nothing about its side.
      if (Math.abs(arch.field.evaluate(m[0]!, m[1]!, m[2]!)) > 0.05) continue;
      looked++;
      const at = (s: number) =>
        arch.field.evaluate(m[0]! + (s * n[0]!) / l, m[1]! + (s * n[1]!) / l, m[2]! + (s * n[2]!) / l);
      if (at(0.1) <= at(-0.1)) inward++;
    }
    expect(looked).toBeGreaterThan(surface.triangles.length / 3 / 2);
    expect(inward / looked).toBeLessThan(0.01);
    let off = 0;
    for (let v = 0; v < p.length; v += 3) if (Math.abs(arch.field.evaluate(p[v]!, p[v + 1]!, p[v + 2]!)) > 0.01) off++;
    expect(off / (p.length / 3)).toBeLessThan(0.01);
  });

  it("has at most two triangles along an edge, but for a few pinches where crowns touch", () => {
    const uses = new Map<string, number>();
    for (let t = 0; t < surface.triangles.length; t += 3) {
      for (let c = 0; c < 3; c++) {
        const a = surface.triangles[t + c]!;
        const b = surface.triangles[t + ((c + 1) % 3)]!;
        const key = a < b ? `${a} ${b}` : `${b} ${a}`;
        uses.set(key, (uses.get(key) ?? 0) + 1);
      }
    }
    const crowded = [...uses.values()].filter((n) => n > 2).length;
    expect(crowded / uses.size).toBeLessThan(0.003);
  });

  it("carries noise of the standard deviation asked for", () => {
    const noisy = scanned(surface, { noise: 0.05, holes: 0, fragments: 0 }, [], new Random(4));
    let sum = 0;
    for (let v = 0; v < surface.positions.length; v++) sum += (noisy.positions[v]! - surface.positions[v]!) ** 2;
    expect(Math.sqrt(sum / (surface.positions.length / 3))).toBeGreaterThan(0.04);
    expect(Math.sqrt(sum / (surface.positions.length / 3))).toBeLessThan(0.06);
  });

  it("loses triangles to holes and gains floating fragments", () => {
    const holed = scanned(surface, { noise: 0, holes: 6, fragments: 0 }, [], new Random(4));
    expect(holed.triangles.length).toBeLessThan(surface.triangles.length);
    const dusty = scanned(surface, { noise: 0, holes: 0, fragments: 2 }, [], new Random(4));
    expect(dusty.positions.length).toBeGreaterThanOrEqual(surface.positions.length);
  });
});

describe("the files", () => {
  it("say that the data are invented and hold every triangle", () => {
    const mesh = posed(surface, fromRotationVector([0.1, 0.2, 0.3], [1, 2, 3]));
    const stl = toStl(mesh);
    expect(new TextDecoder().decode(stl.subarray(0, 80))).toContain(INVENTED);
    expect(new DataView(stl.buffer).getUint32(80, true)).toBe(mesh.triangles.length / 3);
    expect(stl.length).toBe(84 + (50 * mesh.triangles.length) / 3);
    const ply = new TextDecoder("latin1").decode(toPly(mesh));
    expect(ply).toContain(`comment Raphe: ${INVENTED}`);
    expect(ply).toContain(`element face ${mesh.triangles.length / 3}\n`);
  });
});

describe("the lower arch", () => {
  it("has 14 teeth with lingual, not palatal, points and no palate", () => {
    const lower = makeLowerArch(3, 6000, { noise: 0, holes: 0, fragments: 0 }, "lower.ply");
    const teeth = new Set(lower.truth.landmarks.map((l) => l.tooth));
    expect([...teeth].sort()).toEqual([31, 32, 33, 34, 35, 36, 37, 41, 42, 43, 44, 45, 46, 47]);
    expect(lower.truth.landmarks.some((l) => l.place.includes("palatal"))).toBe(false);
    expect(lower.truth.landmarks.filter((l) => l.place === "distal-cusp-tip").map((l) => l.tooth)).toEqual([46, 36]);
  });
});
