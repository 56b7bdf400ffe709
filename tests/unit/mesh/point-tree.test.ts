import { describe, expect, test } from "vitest";
import { seededRandom } from "#core/geometry/seeded-random";
import { buildPointTree, nearestPoint } from "#core/mesh/point-tree";

const COUNT = 2500;
const random = seededRandom(31);

const pointsOf = (point: (i: number) => readonly number[], count = COUNT): Float64Array =>
  Float64Array.from(Array.from({ length: count }, (_, i) => point(i)).flat());

/** A grid in rising order, and one of its cells in the middle, where eight of its points are equally near. */
const grid = pointsOf((i) => [i % 14, Math.floor(i / 14) % 14, Math.floor(i / 196)]);

const CLOUDS: Record<string, Float64Array> = {
  "in no order": pointsOf(() => [50 * random(), 60 * random(), 20 * random()]),
  "on a grid, in rising order": grid,
  "on a grid, in falling order": pointsOf((i) => [-(i % 14), -Math.floor(i / 14), 0]),
  "each twice": pointsOf((i) => [i % 7, Math.floor(i / 2) % 11, Math.floor(i / 77)]),
  "all in one place": pointsOf(() => [3, -2, 7]),
  "on a line, ever denser": pointsOf((i) => [30 / (i + 1), 0, 0]),
  "far from the origin": pointsOf(() => [1e6 + 3 * random(), -1e6, 4e5 + 2 * random()]),
  "fewer than a leaf holds": pointsOf(() => [random(), random(), random()], 7),
};

/** The nearest of all points the long way: its number, the lowest of equal ones, and the two smallest squared distances. */
function plainNearest(points: Float64Array, [x, y, z]: readonly number[]) {
  let [number, least, next] = [-1, Infinity, Infinity];
  for (let i = 0; i < points.length / 3; i++) {
    const dx = points[3 * i]! - x!;
    const dy = points[3 * i + 1]! - y!;
    const dz = points[3 * i + 2]! - z!;
    const squared = dx * dx + dy * dy + dz * dz;
    if (squared < least) [number, least, next] = [i, squared, least];
    else if (squared < next) next = squared;
  }
  return { number, squared: [least, next] };
}

/** On points, half way between two, and beside them. */
function queriesAmong(points: Float64Array): number[][] {
  const count = points.length / 3;
  return Array.from({ length: 90 }, (_, i) => {
    const a = 3 * Math.floor(count * random());
    const b = i % 2 === 0 ? a : 3 * Math.floor(count * random());
    const aside = i % 3 === 0 ? 4 : 0;
    return [0, 1, 2].map((k) => (points[a + k]! + points[b + k]!) / 2 + aside * (random() - 0.5));
  });
}

describe.each(Object.keys(CLOUDS))("points %s", (name) => {
  const points = CLOUDS[name]!;
  const tree = buildPointTree(points);
  const queries = queriesAmong(points);

  test("the nearest is that of a search through all, and of equally near ones the lowest number", () => {
    for (const query of queries) {
      const [x, y, z] = query as [number, number, number];
      expect(nearestPoint(tree, x, y, z)).toBe(plainNearest(points, query).number);
    }
  });

  test("the distances of the nearest and of the next one are those of a search through all", () => {
    const squared = new Float64Array(2);
    for (const query of queries) {
      const [x, y, z] = query as [number, number, number];
      const plain = plainNearest(points, query);
      expect(nearestPoint(tree, x, y, z, Infinity, squared)).toBe(plain.number);
      expect([...squared]).toEqual(plain.squared);
    }
  });

  test("a point as far away as the limit is not found, one nearer than it is", () => {
    for (const query of queries) {
      const [x, y, z] = query as [number, number, number];
      const { number, squared } = plainNearest(points, query);
      const limit = Math.sqrt(squared[0]!);
      if (limit * limit === squared[0]) expect(nearestPoint(tree, x, y, z, limit)).toBe(-1);
      expect(nearestPoint(tree, x, y, z, limit * (1 + 1e-9) + 1e-12)).toBe(number);
    }
  });
});

test("in the middle of a grid's cell the first of eight equally near points is taken", () => {
  const tree = buildPointTree(grid);
  const squared = new Float64Array(2);
  expect(nearestPoint(tree, 4.5, 6.5, 7.5, Infinity, squared)).toBe(4 + 14 * 6 + 196 * 7);
  expect([...squared]).toEqual([0.75, 0.75]);
});
