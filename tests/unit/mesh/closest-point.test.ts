import { describe, expect, test } from "vitest";
import { fromRotationVector } from "#core/geometry/rigid-transform";
import { seededRandom } from "#core/geometry/seeded-random";
import { addScaled, cross, distance, dot, length, subtract, type Vector3 } from "#core/geometry/vector";
import { closestPoint, newClosestPoint, ON_CORNER, ON_EDGE, ON_FACE } from "#core/mesh/closest-point";
import { buildPointTree, nearestPoint } from "#core/mesh/point-tree";
import { type TriangleMesh, triangleCount } from "#core/mesh/triangle-mesh";
import { buildTriangleTree } from "#core/mesh/triangle-tree";
import { ball, meshOf, moved, terrain } from "./surfaces";

const corner = (mesh: TriangleMesh, t: number, k: number): Vector3 => {
  const v = 3 * mesh.triangles[3 * t + k]!;
  return [mesh.positions[v]!, mesh.positions[v + 1]!, mesh.positions[v + 2]!];
};

/** Nearest point of a triangle the long way: the foot on its plane if inside, else the best of its three edges. */
function plainFoot(p: Vector3, a: Vector3, b: Vector3, c: Vector3): Vector3 {
  const feet: Vector3[] = [
    [a, b],
    [b, c],
    [c, a],
  ].map(([from, to]) => {
    const along = subtract(to!, from!);
    const squared = dot(along, along);
    const share = squared === 0 ? 0 : Math.min(1, Math.max(0, dot(subtract(p, from!), along) / squared));
    return addScaled(from!, along, share);
  });
  const normal = cross(subtract(b, a), subtract(c, a));
  if (length(normal) > 0) {
    const foot = addScaled(p, normal, -dot(subtract(p, a), normal) / dot(normal, normal));
    const inside = [
      [a, b],
      [b, c],
      [c, a],
    ].every(([from, to]) => dot(cross(subtract(to!, from!), subtract(foot, from!)), normal) >= 0);
    if (inside) feet.push(foot);
  }
  return feet.reduce((best, foot) => (distance(p, foot) < distance(p, best) ? foot : best));
}

function plainDistance(mesh: TriangleMesh, p: Vector3): number {
  let best = Infinity;
  for (let t = 0; t < triangleCount(mesh); t++) {
    const foot = plainFoot(p, corner(mesh, t, 0), corner(mesh, t, 1), corner(mesh, t, 2));
    best = Math.min(best, distance(p, foot));
  }
  return best;
}

/** Triangles strewn at random, slivers, repeated corners and single points among them. */
function litter(count: number, seed: number): TriangleMesh {
  const random = seededRandom(seed);
  const points: number[][] = [];
  const triangles: number[][] = [];
  for (let t = 0; t < count; t++) {
    const at = [random() * 20, random() * 20, random() * 20];
    const size = t % 4 === 0 ? 8 : 1;
    for (let k = 0; k < 3; k++) points.push(at.map((v) => v + size * (random() - 0.5)));
    const n = points.length;
    if (t % 7 === 0) points[n - 1] = points[n - 2]!.slice();
    if (t % 11 === 0) points[n - 1] = points[n - 3]!.map((v, k) => (v + points[n - 2]![k]!) / 2);
    if (t % 13 === 0) points[n - 1] = points[n - 2] = points[n - 3]!.slice();
    if (t % 17 === 0) points[n - 1] = points[n - 3]!.map((v, k) => v + 1e-7 * (k + 1));
    triangles.push([n - 3, n - 2, n - 1]);
  }
  return meshOf(points, triangles);
}

const surfaces: [string, TriangleMesh][] = [
  ["one triangle", litter(1, 2)],
  ["five triangles", litter(5, 3)],
  ["300 strewn triangles with degenerate ones", litter(300, 4)],
  [
    "a hundred times the same triangle",
    meshOf(
      [
        [0, 0, 0],
        [3, 0, 0],
        [0, 3, 0],
      ],
      new Array(100).fill([0, 1, 2]),
    ),
  ],
  ["a vault", terrain(14, 12, { x: [-15, 15], y: [0, 40] }, (x, y) => 14 - x * x * 0.05 + (y > 20 ? 1 : 0))],
  ["a ball", ball(9, 16, 9)],
];

describe.each(surfaces)("on %s", (_, mesh) => {
  const tree = buildTriangleTree(mesh);
  const random = seededRandom(99);
  const queries = Array.from(
    { length: 400 },
    (): Vector3 => [random() * 50 - 15, random() * 50 - 15, random() * 50 - 15],
  );

  test("the nearest point is as near as the nearest of all triangles, and lies on the triangle named", () => {
    const out = newClosestPoint();
    for (const p of queries) {
      expect(closestPoint(tree, ...p, out)).toBe(true);
      const expected = plainDistance(mesh, p);
      expect(Math.abs(Math.sqrt(out.squaredDistance) - expected)).toBeLessThan(1e-10);
      const foot: Vector3 = [out.x, out.y, out.z];
      expect(Math.abs(distance(p, foot) - expected)).toBeLessThan(1e-10);
      const [a, b, c] = [0, 1, 2].map((k) => corner(mesh, out.triangle, k)) as [Vector3, Vector3, Vector3];
      expect(distance(plainFoot(foot, a, b, c), foot)).toBeLessThan(1e-10);
      if (out.feature >= ON_CORNER) {
        expect(distance(foot, corner(mesh, out.triangle, out.feature - ON_CORNER))).toBeLessThan(1e-12);
      } else if (out.feature >= ON_EDGE) {
        const k = out.feature - ON_EDGE;
        const from = corner(mesh, out.triangle, k);
        const to = corner(mesh, out.triangle, (k + 1) % 3);
        expect(distance(from, foot) + distance(foot, to)).toBeCloseTo(distance(from, to), 9);
      }
    }
  });

  test("nothing is found beyond the given distance, everything within it", () => {
    const out = newClosestPoint();
    for (const p of queries.slice(0, 60)) {
      const expected = plainDistance(mesh, p);
      expect(closestPoint(tree, ...p, out, expected * 0.999)).toBe(false);
      expect(out.triangle).toBe(-1);
      expect(closestPoint(tree, ...p, out, expected * 1.001 + 1e-9)).toBe(true);
    }
  });

  test("the nearest corner is found among all corners", () => {
    const points = buildPointTree(mesh.positions);
    for (const p of queries) {
      const at = (i: number): Vector3 => [
        mesh.positions[3 * i]!,
        mesh.positions[3 * i + 1]!,
        mesh.positions[3 * i + 2]!,
      ];
      const all = Array.from({ length: mesh.positions.length / 3 }, (_, i) => distance(at(i), p)).sort((a, b) => a - b);
      const [expected, next] = [all[0]!, all[1]!];
      const nearest = nearestPoint(points, ...p);
      expect(distance(at(nearest), p)).toBeCloseTo(expected, 12);
      expect(nearestPoint(points, ...p, expected * 0.999)).toBe(-1);
      const squared = new Float64Array(2);
      expect(nearestPoint(points, ...p, Infinity, squared)).toBe(nearest);
      expect([...squared].map(Math.sqrt)).toEqual([expect.closeTo(expected, 12), expect.closeTo(next, 12)]);
      // Where the next one is too far away, all that is known is the limit.
      const limit = (expected + next) / 2;
      if (limit > expected) {
        expect(nearestPoint(points, ...p, limit, squared)).toBe(nearest);
        expect(Math.sqrt(squared[1]!)).toBeCloseTo(limit, 12);
      }
    }
  });
});

test("a point tree of chosen points knows only those", () => {
  const mesh = ball(9, 16, 9);
  const members = Uint32Array.from({ length: 40 }, (_, i) => 3 * i);
  const tree = buildPointTree(mesh.positions, members);
  for (let v = 0; v < 120; v++) {
    const found = nearestPoint(tree, mesh.positions[3 * v]!, mesh.positions[3 * v + 1]!, mesh.positions[3 * v + 2]!);
    expect(found % 3).toBe(0);
    if (v % 3 === 0) expect(found).toBe(v);
  }
});

test("an empty mesh and an empty point set have no nearest point", () => {
  const out = newClosestPoint();
  expect(closestPoint(buildTriangleTree(meshOf([], [])), 1, 2, 3, out)).toBe(false);
  expect(nearestPoint(buildPointTree(new Float64Array(0)), 1, 2, 3)).toBe(-1);
});

test("face, edge and corner of a triangle are told apart", () => {
  const tree = buildTriangleTree(
    meshOf(
      [
        [0, 0, 0],
        [4, 0, 0],
        [0, 4, 0],
      ],
      [[0, 1, 2]],
    ),
  );
  const feature = (x: number, y: number) => {
    const out = newClosestPoint();
    closestPoint(tree, x, y, 3, out);
    return out.feature;
  };
  expect(feature(1, 1)).toBe(ON_FACE);
  expect(feature(1, -1)).toBe(ON_EDGE);
  expect(feature(3, 3)).toBe(ON_EDGE + 1);
  expect(feature(-1, 1)).toBe(ON_EDGE + 2);
  expect(feature(-1, -1)).toBe(ON_CORNER);
  expect(feature(6, -1)).toBe(ON_CORNER + 1);
  expect(feature(-1, 6)).toBe(ON_CORNER + 2);
});

test("distances stay the same when surface and query are moved together", () => {
  const mesh = terrain(14, 12, { x: [-15, 15], y: [0, 40] }, (x) => 14 - x * x * 0.05);
  const motion = fromRotationVector([0.4, -1.1, 2], [120, -40, 60]);
  const [here, there] = [buildTriangleTree(mesh), buildTriangleTree(moved(mesh, motion))];
  const [a, b] = [newClosestPoint(), newClosestPoint()];
  const random = seededRandom(5);
  for (let i = 0; i < 200; i++) {
    const p: Vector3 = [random() * 40 - 20, random() * 40, random() * 20];
    const q = moved(meshOf([p], []), motion).positions as unknown as Vector3;
    closestPoint(here, ...p, a);
    closestPoint(there, q[0], q[1], q[2], b);
    expect(Math.abs(Math.sqrt(a.squaredDistance) - Math.sqrt(b.squaredDistance))).toBeLessThan(1e-9);
  }
});
