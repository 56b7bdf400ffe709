import { describe, expect, it } from "vitest";
import { VertexTable } from "#core/mesh/vertex-table";

/** Enters points one behind the other, x, y, z each, and returns their numbers. */
function numbers(table: VertexTable, points: Float32Array | Float64Array): number[] {
  const words = new Uint32Array(points.buffer);
  return Array.from({ length: points.length / 3 }, (_, i) =>
    points instanceof Float32Array
      ? table.numberOfSingle(words[3 * i]!, words[3 * i + 1]!, words[3 * i + 2]!)
      : table.numberOfDouble(words, 6 * i),
  );
}

describe.each([
  ["single", Float32Array],
  ["double", Float64Array],
] as const)("a vertex table in %s precision", (precision, Points) => {
  it.each([0, 1, 2])("keeps points apart that differ along axis %i only, and finds each again", (axis) => {
    const count = 20_000;
    const points = new Points(3 * count);
    // Halves and whole numbers share their low words; thirds have full ones.
    for (let i = 0; i < count; i++) points[3 * i + axis] = i % 2 === 0 ? i / 2 : i / 3;
    const table = new VertexTable(precision, 0);
    const first = numbers(table, points);
    expect(new Set(first).size).toBe(new Set(points).size);
    expect(table.count).toBe(new Set(points).size);
    expect(numbers(table, points)).toEqual(first);
    first.forEach((number, i) => {
      if (table.points()[3 * number + axis] !== points[3 * i + axis]) throw new Error(`point ${i}`);
    });
  });

  it.each([0, 1, 2])("takes −0 for 0 along axis %i", (axis) => {
    const points = Points.from([1, 2, 3, 1, 2, 3]);
    points[axis] = 0;
    points[3 + axis] = -0;
    const table = new VertexTable(precision, 0);
    expect(numbers(table, points)).toEqual([0, 0]);
    expect(Object.is(table.points()[axis], 0)).toBe(true);
  });
});
