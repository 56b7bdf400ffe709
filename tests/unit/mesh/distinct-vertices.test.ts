import { describe, expect, test } from "vitest";
import { UNWATCHED } from "#core/job-control";
import { DistinctVertices, renumber } from "#core/mesh/distinct-vertices";

/** 10,000 vertices, each of 3,000 points three or four times, far apart in the order; the points in order of appearance. */
const COUNT = 10_000;
const pointOf = (vertex: number): number => (vertex * 7) % 3000;
const coordinates = (point: number): [number, number, number] => [point / 3, -point, point === 0 ? 0 : 1 / point];

describe.each(["single", "double"] as const)(
  "vertices that are numbered as they come, in %s precision,",
  (precision) => {
    const rounded = precision === "single" ? Math.fround : (value: number) => value;

    /** What must come of it, found without a table. */
    const numbers: number[] = [];
    const points: number[] = [];
    const known = new Map<number, number>();
    for (let v = 0; v < COUNT; v++) {
      const point = pointOf(v);
      if (!known.has(point)) {
        known.set(point, known.size);
        points.push(...coordinates(point).map((value) => rounded(value) + 0));
      }
      numbers.push(known.get(point)!);
    }

    test("one by one or in blocks, keep each point once, in order of first appearance", () => {
      const singly = new DistinctVertices(precision, 0, 0, UNWATCHED);
      for (let v = 0; v < COUNT; v++) {
        expect(singly.count).toBe(v);
        singly.add(...coordinates(pointOf(v)));
      }
      const mixed = new DistinctVertices(precision, COUNT, 3000, UNWATCHED);
      for (let v = 0; v < COUNT; ) {
        // Readers fill blocks with whole items, and add single ones that lie across two pieces of the file.
        const end = Math.min(COUNT, v + 1 + ((v * 13) % 2048));
        const block = mixed.emptyBlock();
        for (let i = v; i < end; i++) block.set(coordinates(pointOf(i)), 3 * (i - v));
        mixed.addBlock(end - v);
        v = end;
        for (let single = 0; single < 3 && v < COUNT; single++) mixed.add(...coordinates(pointOf(v++)));
      }
      for (const vertices of [singly, mixed]) {
        expect(vertices.count).toBe(COUNT);
        expect(Array.from(vertices.pointNumbers())).toEqual(numbers);
        expect(Array.from(vertices.points())).toEqual(points);
      }
    });

    test("take the place of what a triangle list names", () => {
      const vertices = new DistinctVertices(precision, COUNT, 3000, UNWATCHED);
      for (let v = 0; v < COUNT; v++) vertices.add(...coordinates(pointOf(v)));
      const triangles = Uint32Array.from({ length: 30_000 }, (_, i) => (i * 11) % COUNT);
      const before = Array.from(triangles);
      renumber(triangles, vertices.pointNumbers(), UNWATCHED);
      expect(Array.from(triangles)).toEqual(before.map((vertex) => numbers[vertex]));
    });

    test("give each point the colour of its first vertex", () => {
      const vertices = new DistinctVertices(precision, 4, 4, UNWATCHED);
      for (const x of [5, 0, 5, -0]) vertices.add(x, 1, 2);
      const colours = Uint8Array.from([10, 11, 12, 20, 21, 22, 30, 31, 32, 40, 41, 42]);
      expect(Array.from(vertices.firstColours(colours))).toEqual([10, 11, 12, 20, 21, 22]);
    });

    test("look at the cancel flag at least every 10,000 vertices", () => {
      let looks = 0;
      const vertices = new DistinctVertices(precision, 0, 0, { progress: () => {}, cancelled: () => ++looks < 0 });
      for (let v = 0; v < 50_000; v++) vertices.add(v, 0, 0);
      expect(looks).toBeGreaterThanOrEqual(5);
    });
  },
);
