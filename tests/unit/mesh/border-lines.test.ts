import { describe, expect, test } from "vitest";
import { borderLines } from "#core/mesh/border-lines";
import { oppositeHalfEdges } from "#core/mesh/edges";
import type { TriangleMesh } from "#core/mesh/triangle-mesh";
import { meshOf, terrain } from "./surfaces";

const linesOf = (mesh: TriangleMesh): number[][] => {
  const lines = borderLines({
    positions: Float32Array.from(mesh.positions),
    triangles: mesh.triangles,
    opposite: oppositeHalfEdges(mesh),
  });
  return Array.from({ length: lines.length / 6 }, (_, i) => [...lines.subarray(6 * i, 6 * i + 6)]);
};

/** A flat sheet of 10 × 10 squares of 1 mm; the triangles of the named squares (column, row) are left out. */
function sheetWithout(...squares: readonly (readonly [number, number])[]): TriangleMesh {
  const mesh = terrain(10, 10, { x: [0, 10], y: [0, 10] }, () => 0);
  const gone = new Set(squares.flatMap(([column, row]) => [2 * (10 * row + column), 2 * (10 * row + column) + 1]));
  const kept = Array.from({ length: 200 }, (_, t) => t).filter((t) => !gone.has(t));
  return {
    ...mesh,
    triangles: Uint32Array.from(kept.flatMap((t) => [...mesh.triangles.subarray(3 * t, 3 * t + 3)])),
    fileTriangles: Uint32Array.from(kept),
  };
}

const onRim = ([x0, y0, , x1, y1]: number[]) => (x0 === x1 && x0! % 10 === 0) || (y0 === y1 && y0! % 10 === 0);

describe("the lines along the border of a surface", () => {
  test("run round its rim, each edge once, and the surface lies to their left", () => {
    const lines = linesOf(sheetWithout());
    expect(lines).toHaveLength(40);
    expect(lines.every(onRim)).toBe(true);
    expect(new Set(lines.map(String)).size).toBe(40);
    // Seen from above the rim is run counter-clockwise: twice the area that it runs round is positive.
    expect(lines.reduce((sum, [x0, y0, , x1, y1]) => sum + (x0! * y1! - x1! * y0!), 0)).toBe(200);
  });

  test("leave a small hole out", () => {
    const lines = linesOf(sheetWithout([4, 4]));
    expect(lines).toHaveLength(40);
    expect(lines.every(onRim)).toBe(true);
  });

  test("run round a hole of 12 mm, and not round one of 10 mm", () => {
    const wide: [number, number][] = [3, 4, 5].flatMap((c) => [3, 4, 5].map((r): [number, number] => [c, r]));
    expect(linesOf(sheetWithout(...wide))).toHaveLength(40 + 12);
    const narrow = wide.filter(([column]) => column < 5);
    expect(linesOf(sheetWithout(...narrow))).toHaveLength(40);
  });

  test("count two holes that touch at a vertex as one", () => {
    expect(linesOf(sheetWithout([3, 3], [4, 4]))).toHaveLength(40);
    expect(linesOf(sheetWithout([3, 3], [4, 4], [5, 5]))).toHaveLength(40 + 12);
  });

  test("are none on a closed surface", () => {
    const tetrahedron = meshOf(
      [
        [0, 0, 0],
        [20, 0, 0],
        [0, 20, 0],
        [0, 0, 20],
      ],
      [
        [0, 2, 1],
        [0, 1, 3],
        [1, 2, 3],
        [0, 3, 2],
      ],
    );
    expect(linesOf(tetrahedron)).toEqual([]);
  });
});
