import Module from "manifold-3d";
import { describe, expect, test } from "vitest";
import { apply, fromRotationVector, rotate } from "#core/geometry/rigid-transform";
import type { Vector3 } from "#core/geometry/vector";
import { borderLoops } from "#core/mesh/border";
import { type BareMesh, filledHoles } from "#core/mesh/filled-holes";
import { heightOver, trianglesNearLine } from "#core/mesh/height-over";
import { sectionArea, trianglesNearCut } from "#core/mesh/plane-section";
import { type Closing, coreSums, findVault, vaultSize } from "#core/mesh/vault";
import { heightField, movedMesh } from "./palate-vaults";

const UP: Vector3 = [0, 0, 1];
const POSE = fromRotationVector([0.5, -1.1, 0.7], [12, -40, 33]);

/** A half ellipse across, the same all along: half width 17, height 15 over the plane z = 3. */
const tunnel = (x: number): number => {
  const share = 1 - (x * x) / (17 * 17);
  // Beyond its foot the surface goes on down.
  return share > 0 ? 3 + 15 * Math.sqrt(share) : 3 - 20 * (Math.abs(x) - 17);
};
/** A vault as a palate has it: rounded across, rising from the front. */
const palate = (x: number, y: number): number => 12 - 0.045 * x * x - 0.012 * (y - 25) * (y - 25);

/** An outline as the palatal gingival points give it: not convex. */
const OUTLINE: readonly Vector3[] = [
  [-16, 30, 0],
  [-15.5, 20, 0],
  [-13, 13, 0],
  [-11.5, 6, 0],
  [-7, 1, 0],
  [-2.5, -1.5, 0],
  [0, 0.5, 0],
  [3, -1, 0],
  [7, 1.5, 0],
  [11, 6.5, 0],
  [13.5, 13, 0],
  [15.2, 21, 0],
  [16.4, 30, 0],
];

function sizeOf(mesh: BareMesh, closing: Closing): { area: number; volume: number; closed: boolean } {
  const vault = findVault(mesh, closing);
  if (vault === null) throw new Error("nothing stands over the outline");
  return { ...vaultSize(mesh, vault, coreSums(mesh, vault), closing), closed: vault.closed };
}

describe("cross-section", () => {
  const mesh = heightField(tunnel, [-19, 19], [0, 30], 0.1);
  const [a, b]: [Vector3, Vector3] = [
    [-17, 14.03, 3],
    [17, 14.03, 3],
  ];
  const section = (m: BareMesh, p: Vector3, q: Vector3, up: Vector3) =>
    sectionArea(m, trianglesNearCut(m, p, q, up, 0), p, q, up)!;

  test("of an elliptic tunnel is half an ellipse: π·17·15/2 mm² (closed form), to 0.1 %", () => {
    const { area, closed } = section(mesh, a, b, UP);
    expect(closed).toBe(true);
    expect(Math.abs(area / ((Math.PI * 17 * 15) / 2) - 1)).toBeLessThan(1e-3);
  });

  test("cut at an angle it grows by 1/cos of the angle", () => {
    const [p, q]: [Vector3, Vector3] = [
      [-17, 15 - 17 * Math.tan(0.4), 3],
      [17, 15 + 17 * Math.tan(0.4), 3],
    ];
    expect(Math.abs(section(mesh, p, q, UP).area / ((Math.PI * 17 * 15) / 2 / Math.cos(0.4)) - 1)).toBeLessThan(1e-3);
  });

  test("in any pose it is the same to 1e-9, and the ends exchanged give the same", () => {
    const { area } = section(mesh, a, b, UP);
    const moved = movedMesh(mesh, (p) => apply(POSE, p));
    expect(section(moved, apply(POSE, a), apply(POSE, b), rotate(POSE, UP)).area).toBeCloseTo(area, 9);
    expect(section(mesh, b, a, UP).area).toBeCloseTo(area, 9);
  });

  test("only what stands over the line counts: ends nearer the middle take the middle part", () => {
    // ∫ 15·√(1 − x²/17²) from −8 to 8.
    const share = 8 / 17;
    const exact = 15 * 17 * (share * Math.sqrt(1 - share * share) + Math.asin(share));
    const { area } = section(mesh, [-8, 14.03, 3], [8, 14.03, 3], UP);
    expect(Math.abs(area / exact - 1)).toBeLessThan(1e-3);
  });

  test("a surface with a hole on the cut is told from a closed one, and a filled hole is closed", () => {
    const holed = heightField(tunnel, [-19, 19], [0, 30], 0.1, (x, y) => Math.hypot(x - 6, y - 14) > 1);
    expect(section(holed, a, b, UP).closed).toBe(false);
    const triangles = { ...holed, fileTriangles: new Uint32Array(holed.triangles.length / 3) };
    const filled = filledHoles(holed, borderLoops(triangles, holed.opposite), 20);
    const { area, closed } = section(filled, a, b, UP);
    expect(closed).toBe(true);
    expect(Math.abs(area / ((Math.PI * 17 * 15) / 2) - 1)).toBeLessThan(3e-3);
  });

  test("no surface over the line, or one that faces away: nothing", () => {
    const up: Vector3 = [0, 0, -1];
    expect(sectionArea(mesh, trianglesNearCut(mesh, a, b, up, 0), a, b, up)).toBeNull();
  });
});

describe("height over a point", () => {
  const mesh = heightField(palate, [-20, 20], [-5, 35], 0.5);
  test("is that of the surface straight above it, wherever the line falls", () => {
    let largest = 0;
    for (let i = 0; i < 200; i++) {
      const [x, y] = [-15 + 0.149 * i, 0.17 * i];
      const found = heightOver(mesh, trianglesNearLine(mesh, [x, y, -30], UP, 0.1), [x, y, -30], UP);
      largest = Math.max(largest, Math.abs(found! - (palate(x, y) + 30)));
    }
    // The chord of a cell of 0.5 mm under a curvature of 0.09 per mm.
    expect(largest).toBeLessThan(0.5 * 0.5 * 0.045 * 0.5);
  });

  test("a surface that faces away is passed over", () => {
    const origin: Vector3 = [0.1, 10.2, 30];
    expect(heightOver(mesh, trianglesNearLine(mesh, origin, [0, 0, -1], 0.1), origin, [0, 0, -1])).toBeNull();
  });
});

describe("area and volume of a vault", () => {
  const flat: Closing = { outline: OUTLINE, centre: [0, 0, 0], up: UP };
  const mesh = heightField(palate, [-22, 22], [-8, 36], 0.37);

  test("a flat roof 5 mm over the plane: area of the outline, times 5 (closed form, shoelace)", () => {
    const roof = heightField(() => 5, [-22, 22], [-8, 36], 0.41);
    let twice = 0;
    OUTLINE.forEach(([x, y], i) => {
      const [p, q] = OUTLINE[(i + 1) % OUTLINE.length]!;
      twice += x * q - p * y;
    });
    const size = sizeOf(roof, flat);
    expect(size.area).toBeCloseTo(Math.abs(twice) / 2, 8);
    expect(size.volume).toBeCloseTo((5 * Math.abs(twice)) / 2, 7);
    expect(size.closed).toBe(true);
  });

  test("a paraboloid over a plane: volume π·h²/2a and area in closed form, to 0.1 %", () => {
    // z = 10 − a·r² with a = 0.05: over z = 0 the radius is √200.
    const [h, a] = [10, 0.05];
    const bowl = heightField((x, y) => h - a * (x * x + y * y), [-18, 18], [-18, 18], 0.1);
    const square: Vector3[] = [
      [-16, -16, 0],
      [16, -16, 0],
      [16, 16, 0],
      [-16, 16, 0],
    ];
    const { area, volume } = sizeOf(bowl, { outline: square, centre: [0, 0, 0], up: UP });
    expect(Math.abs(volume / ((Math.PI * h * h) / (2 * a)) - 1)).toBeLessThan(1e-3);
    const radius = Math.sqrt(h / a);
    const exact = (Math.PI / (6 * a * a)) * ((1 + 4 * a * a * radius * radius) ** 1.5 - 1);
    expect(Math.abs(area / exact - 1)).toBeLessThan(1e-3);
  });

  test("in any pose, and with the outline the other way round, the same to 1e-8", () => {
    const here = sizeOf(mesh, flat);
    const there = sizeOf(
      movedMesh(mesh, (p) => apply(POSE, p)),
      { outline: OUTLINE.map((p) => apply(POSE, p)), centre: apply(POSE, [0, 0, 0]), up: rotate(POSE, UP) },
    );
    const reversed = sizeOf(mesh, { ...flat, outline: OUTLINE.toReversed() });
    for (const other of [there, reversed]) {
      expect(Math.abs(other.area - here.area)).toBeLessThan(1e-8);
      expect(Math.abs(other.volume - here.volume)).toBeLessThan(1e-8);
    }
  });

  test("a closing moved by less than the margin gives what a vault found anew gives", () => {
    const vault = findVault(mesh, flat)!;
    const moved: Closing = {
      outline: OUTLINE.map(([x, y, z], i): Vector3 => [x + 0.03 * Math.sin(i), y - 0.03 * Math.cos(3 * i), z]),
      centre: [0, 0, 0.01],
      up: rotate(fromRotationVector([0.0005, -0.0006, 0]), UP),
    };
    const quick = vaultSize(mesh, vault, coreSums(mesh, vault), moved);
    const anew = sizeOf(mesh, moved);
    expect(quick.area).toBeCloseTo(anew.area, 8);
    expect(quick.volume).toBeCloseTo(anew.volume, 8);
  });

  test("a scan that ends inside the outline is told", () => {
    const short = heightField(palate, [-22, 22], [-8, 26], 0.37);
    expect(sizeOf(short, flat).closed).toBe(false);
  });

  /** The solid between the surface and a floor 6 mm under the plane. */
  function solid(surface: BareMesh, floor: number) {
    const { positions, triangles, opposite } = surface;
    const count = positions.length / 3;
    const vertices = new Float32Array(6 * count);
    vertices.set(positions);
    for (let v = 0; v < count; v++) vertices.set([positions[3 * v]!, positions[3 * v + 1]!, floor], 3 * (count + v));
    const faces: number[] = [];
    for (let t = 0; t < triangles.length; t += 3) {
      const [a, b, c] = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!];
      // The surface faces down; the solid under it has it as its upper side.
      faces.push(a, c, b, count + a, count + b, count + c);
    }
    for (let h = 0; h < opposite.length; h++) {
      if (opposite[h]! >= 0) continue;
      const [from, to] = [triangles[h]!, triangles[h % 3 === 2 ? h - 2 : h + 1]!];
      faces.push(from, to, count + to, from, count + to, count + from);
    }
    return { vertProperties: vertices, triVerts: Uint32Array.from(faces), numProp: 3 };
  }

  // Independent calculation: exact mesh booleans of manifold-3d (Apache-2.0), in single precision.
  test.each([
    ["a palate wholly above the plane", palate],
    [
      "rugae and a wall that dips below the plane",
      (x: number, y: number) => palate(x, y) - 7 + 0.4 * Math.sin(1.3 * y) * Math.cos(0.9 * x),
    ],
  ])("agrees with a boolean of solids within 0.5 %: %s", async (_, height) => {
    const library = await Module();
    library.setup();
    const { Manifold, Mesh, CrossSection } = library;
    const surface = heightField(height, [-22, 22], [-8, 36], 0.37);
    const under = new Manifold(new Mesh(solid(surface, -40)));
    const outline = new CrossSection([OUTLINE.map(([x, y]) => [x, y] as [number, number])]);
    const prism = outline.extrude(60);
    const volume = under.intersect(prism).volume();
    const size = sizeOf(surface, flat);
    // The boolean takes every part above the plane; the vault the one that hangs together over the middle.
    expect(Math.abs(size.volume / volume - 1)).toBeLessThan(5e-3);
    expect(size.volume).toBeGreaterThan(500);
  });
});
