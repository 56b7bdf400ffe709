import { describe, expect, it } from "vitest";
import { UNWATCHED } from "#core/job-control";
import type { RawGeometry } from "#core/mesh/raw-geometry";
import { weld } from "#core/mesh/weld";

const raw = (vertices: Float32Array | Float64Array, triangles: readonly number[]): RawGeometry => ({
  vertices,
  triangles: Uint32Array.from(triangles),
  colours: null,
  verticesInFile: vertices.length / 3,
  verticesDistinct: false,
});

describe("welding", () => {
  it.each([Float32Array, Float64Array])("joins vertices of equal coordinates, and −0 with 0 (%o)", (Vertices) => {
    // 0 1 2   3 = 1, 4 = 2 (with −0), 5
    const vertices = Vertices.from([0, 0, 0, 1, 0, 0, 0, 1, 0, 1, 0, 0, -0, 1, -0, 1, 1, 0]);
    const { mesh } = weld(raw(vertices, [0, 1, 2, 3, 5, 4]), 1, UNWATCHED);
    expect(Array.from(mesh.positions)).toEqual([0, 0, 0, 1, 0, 0, 0, 1, 0, 1, 1, 0]);
    expect(Array.from(mesh.triangles)).toEqual([0, 1, 2, 1, 3, 2]);
  });

  it("joins nothing that differs in the last bit", () => {
    const next = new Float64Array(1);
    new BigUint64Array(next.buffer)[0] = new BigUint64Array(Float64Array.of(1).buffer)[0]! + 1n;
    const vertices = Float64Array.from([0, 0, 0, 1, 0, 0, 0, 1, 0, next[0]!, 0, 0, 5, 5, 0]);
    expect(weld(raw(vertices, [0, 1, 2, 3, 4, 2]), 1, UNWATCHED).mesh.positions).toHaveLength(15);
  });

  it("keeps 100,000 vertices apart that differ, and finds each again", () => {
    const count = 100_000;
    const vertices = new Float32Array(6 * count);
    for (let v = 0; v < 2 * count; v++) {
      const i = v % count;
      vertices.set([i % 100, Math.floor(i / 100) % 100, Math.floor(i / 10_000)], 3 * v);
    }
    const triangles = Array.from({ length: count - 100 }, (_, i) => [i, i + 1 + count, i + 100]).flat();
    const { mesh, degenerate } = weld(raw(vertices, triangles), 1, UNWATCHED);
    expect(mesh.positions).toHaveLength(3 * count);
    expect(degenerate).toBe(0);
  });

  it.each([true, false])(
    "looks at the cancel flag at least every 10,000 triangles (vertices distinct: %s)",
    (distinct) => {
      const count = 60_000;
      const vertices = Float32Array.from({ length: 9 * count }, (_, i) => Math.imul(i, 0x9e3779b1) >>> 8);
      const content = {
        ...raw(
          vertices,
          Array.from({ length: 3 * count }, (_, i) => i),
        ),
        verticesDistinct: distinct,
      };
      let looks = 0;
      weld(content, 1, { progress: () => {}, cancelled: () => ++looks < 0 });
      expect(looks).toBeGreaterThanOrEqual((distinct ? 1 : 2) * (count / 10_000));
    },
  );

  it("multiplies coordinates by the unit", () => {
    const { mesh } = weld(raw(Float64Array.from([0, 0, 0, 1, 0, 0, 0, 2, 0]), [0, 1, 2]), 25.4, UNWATCHED);
    expect(Array.from(mesh.positions)).toEqual([0, 0, 0, 25.4, 0, 0, 0, 50.8, 0]);
  });

  it("leaves out repeated triangles, whichever corner comes first, and tells those wound the other way", () => {
    const vertices = Float64Array.from([0, 0, 0, 1, 0, 0, 0, 1, 0, 1, 1, 0]);
    const welded = weld(raw(vertices, [0, 1, 2, 1, 2, 0, 2, 1, 0, 1, 3, 2, 0, 2, 1]), 1, UNWATCHED);
    expect(Array.from(welded.mesh.triangles)).toEqual([0, 1, 2, 1, 3, 2]);
    expect(Array.from(welded.mesh.fileTriangles)).toEqual([0, 3]);
    expect(welded).toMatchObject({ degenerate: 0, duplicate: 3, duplicateReversed: 2, unreferenced: 0 });
  });
});
