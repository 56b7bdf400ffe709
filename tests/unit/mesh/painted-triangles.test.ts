import { describe, expect, test } from "vitest";
import { brushed } from "#core/mesh/brush";
import { oppositeHalfEdges } from "#core/mesh/edges";
import { bitBytes, bitsFromMask, maskFromBits, touchedVertices } from "#core/mesh/painted-triangles";
import { widened } from "#core/mesh/widen-painted";
import { ball, meshOf, terrain } from "./surfaces";

const flat = terrain(40, 40, { x: [0, 10], y: [0, 10] }, () => 0);

/** Middle of a triangle, mm. */
function middle({ positions, triangles }: typeof flat, t: number): [number, number, number] {
  const [a, b, c] = [triangles[3 * t]!, triangles[3 * t + 1]!, triangles[3 * t + 2]!];
  const [x, y, z] = [0, 1, 2].map((k) => (positions[3 * a + k]! + positions[3 * b + k]! + positions[3 * c + k]!) / 3);
  return [x!, y!, z!];
}

const maskOf = (mesh: typeof flat, chosen: (p: readonly [number, number, number]) => boolean) =>
  Uint8Array.from({ length: mesh.triangles.length / 3 }, (_, t) => (chosen(middle(mesh, t)) ? 1 : 0));

describe("bits of painted triangles", () => {
  test("the lowest bit of the first byte is the first triangle of the file", () => {
    const mesh = { fileTriangles: Uint32Array.of(0, 3, 9, 10) };
    expect(Array.from(bitsFromMask(mesh, Uint8Array.of(1, 1, 0, 1), 11))).toEqual([0b00001001, 0b00000100]);
    expect(Array.from(maskFromBits(mesh, Uint8Array.of(0b00001000, 0b00000110)))).toEqual([0, 1, 1, 1]);
  });

  test("what lies beyond the bits is not painted", () => {
    expect(Array.from(maskFromBits({ fileTriangles: Uint32Array.of(7, 8) }, Uint8Array.of(255)))).toEqual([1, 0]);
  });

  test.each([1, 7, 8, 9, 64, 65])("a mask of %i triangles comes back as it was", (count) => {
    const mesh = { fileTriangles: Uint32Array.from({ length: count }, (_, t) => t) };
    const mask = Uint8Array.from({ length: count }, (_, t) => ((t * t + t) % 3) % 2);
    const bits = bitsFromMask(mesh, mask, count);
    expect(bits.length).toBe(bitBytes(count));
    expect(maskFromBits(mesh, bits)).toEqual(mask);
  });

  test("touches the vertices of its triangles and no others", () => {
    const mesh = meshOf(
      [
        [0, 0, 0],
        [1, 0, 0],
        [1, 1, 0],
        [0, 1, 0],
      ],
      [
        [0, 1, 2],
        [0, 2, 3],
      ],
    );
    expect(Array.from(touchedVertices(mesh, Uint8Array.of(0, 1)))).toEqual([1, 0, 1, 1]);
  });
});

describe("the brush", () => {
  test("reaches the triangles whose middle lies within its radius, no others", () => {
    const opposite = oppositeHalfEdges(flat);
    const seed = maskOf(flat, ([x, y]) => x > 5 && x < 5.25 && y > 5 && y < 5.25).indexOf(1);
    const found = new Set(brushed({ ...flat, opposite }, seed, [5.1, 5.1, 0], 2, [0, 0, 1]));
    const within = maskOf(flat, ([x, y]) => Math.hypot(x - 5.1, y - 5.1) <= 2);
    expect(found.size).toBeGreaterThan(300);
    for (const [t, inside] of within.entries()) expect(found.has(t)).toBe(inside === 1);
  });

  test("does not reach the other wall of a thin plate, nor what faces away", () => {
    // Two faces 0.2 mm apart, wound to opposite sides and not connected.
    const below = terrain(40, 40, { x: [0, 10], y: [0, 10] }, () => -0.2);
    const count = flat.positions.length / 3;
    const both = {
      positions: Float64Array.from([...flat.positions, ...below.positions]),
      triangles: Uint32Array.from([
        ...flat.triangles,
        ...Array.from(below.triangles, (_, i, all = below.triangles) => count + all[i - (i % 3) + [0, 2, 1][i % 3]!]!),
      ]),
      fileTriangles: new Uint32Array(0),
    };
    const found = brushed({ ...both, opposite: oppositeHalfEdges(both) }, 100, middle(both, 100), 1, [0, 0, 1]);
    expect(found.every((t) => t < flat.triangles.length / 3)).toBe(true);
    const globe = ball(1, 40, 20);
    const seen = brushed({ ...globe, opposite: oppositeHalfEdges(globe) }, 0, [0, 0, 1], 3, [0, 0, 1]);
    expect(seen.length).toBeGreaterThan(globe.triangles.length / 3 / 2 - 90);
    for (const t of seen) expect(middle(globe, t)[2]).toBeGreaterThan(0);
  });
});

describe("a painted area made wider or narrower", () => {
  const disc = maskOf(flat, ([x, y]) => Math.hypot(x - 5, y - 5) < 2.5);
  const areaOf = (mask: Uint8Array) => (mask.reduce((sum, one) => sum + one, 0) * (0.25 * 0.25)) / 2;

  test("by a millimetre holds all that lies less than that away, and little more", () => {
    const wider = widened(flat, disc, 1);
    for (const [t, one] of disc.entries()) if (one === 1) expect(wider[t]).toBe(1);
    const [least, most] = [Math.PI * 3.2 * 3.2, Math.PI * 3.75 * 3.75];
    expect(areaOf(wider)).toBeGreaterThan(least);
    expect(areaOf(wider)).toBeLessThan(most);
  });

  test("narrower is the rest made wider", () => {
    const narrower = widened(flat, disc, -1);
    expect(narrower).toEqual(
      widened(
        flat,
        disc.map((one) => 1 - one),
        1,
      ).map((one) => 1 - one),
    );
    expect(areaOf(narrower)).toBeGreaterThan(Math.PI * 1.25 * 1.25);
    expect(areaOf(narrower)).toBeLessThan(Math.PI * 1.8 * 1.8);
  });

  test("by less than an edge stays as it is, and nothing grows from nothing", () => {
    expect(widened(flat, disc, 0.2)).toEqual(disc);
    expect(widened(flat, new Uint8Array(disc.length), 2).includes(1)).toBe(false);
  });
});
