import { describe, expect, test } from "vitest";
import { seededRandom } from "#core/geometry/seeded-random";
import { length, scale, type Vector3 } from "#core/geometry/vector";
import { newClosestPoint } from "#core/mesh/closest-point";
import { signedDistance, signedSurface } from "#core/mesh/signed-distance";
import { surfaceOf } from "#core/mesh/surface";
import type { TriangleMesh } from "#core/mesh/triangle-mesh";
import { vertexNormals } from "#core/mesh/vertex-normals";
import { ball, meshOf, terrain } from "./surfaces";

const from = (mesh: TriangleMesh) => {
  const surface = signedSurface(surfaceOf(mesh));
  const foot = newClosestPoint();
  return (p: Vector3, normal: Vector3 = [0, 0, 0], maxDistance?: number) =>
    signedDistance(surface, ...p, ...normal, foot, maxDistance);
};

/** A thin spike on a plate: its tip and its edges are where the sign of the nearest face alone goes wrong. */
const spike = meshOf(
  [
    [-5, -5, 0],
    [5, -5, 0],
    [5, 5, 0],
    [-5, 5, 0],
    [0.2, 0.1, 6],
    [0, 0, -5],
  ],
  [
    [0, 1, 4],
    [1, 2, 4],
    [2, 3, 4],
    [3, 0, 4],
    [1, 0, 5],
    [2, 1, 5],
    [3, 2, 5],
    [0, 3, 5],
  ],
);

describe("the sign of a distance", () => {
  test("is negative inside a ball and positive outside, everywhere", () => {
    const distance = from(ball(10, 24, 14));
    const random = seededRandom(1);
    for (let i = 0; i < 1000; i++) {
      const p: Vector3 = [random() * 30 - 15, random() * 30 - 15, random() * 30 - 15];
      const exact = length(p) - 10;
      // The ball is cut into flat faces, which lie up to 0.26 mm inside it.
      expect(Math.abs(distance(p) - exact)).toBeLessThan(0.3);
      if (Math.abs(exact) > 0.3) expect(Math.sign(distance(p))).toBe(Math.sign(exact));
    }
  });

  test("is right beside the tip of a spike, where the nearest point is a corner or an edge", () => {
    const distance = from(spike);
    const random = seededRandom(2);
    const inside = (p: Vector3) => spikeContains(p);
    for (let i = 0; i < 3000; i++) {
      const p: Vector3 = [random() * 14 - 7, random() * 14 - 7, random() * 18 - 8];
      const d = distance(p);
      if (Math.abs(d) > 1e-9) expect(d < 0).toBe(inside(p));
    }
  });
});

/** The spike is star-shaped about the origin: a point is inside if it is on the inner side of the face it looks at. */
function spikeContains(p: Vector3): boolean {
  const at = (v: number): Vector3 => [
    spike.positions[3 * v]!,
    spike.positions[3 * v + 1]!,
    spike.positions[3 * v + 2]!,
  ];
  for (let t = 0; t < 8; t++) {
    const [a, b, c] = [0, 1, 2].map((k) => at(spike.triangles[3 * t + k]!)) as [Vector3, Vector3, Vector3];
    const det = (u: Vector3, v: Vector3, w: Vector3) =>
      u[0] * (v[1] * w[2] - v[2] * w[1]) - u[1] * (v[0] * w[2] - v[2] * w[0]) + u[2] * (v[0] * w[1] - v[1] * w[0]);
    const whole = det(a, b, c);
    const [x, y, z] = [det(p, b, c) / whole, det(a, p, c) / whole, det(a, b, p) / whole];
    if (x >= 0 && y >= 0 && z >= 0) return x + y + z <= 1;
  }
  throw new Error("no face in this direction");
}

describe("a distance has no value", () => {
  const plate = terrain(10, 10, { x: [0, 10], y: [0, 10] }, () => 0);
  const distance = from(plate);

  test("where its foot lies on an open border", () => {
    expect(distance([5, 5, 2])).toBe(2);
    expect(distance([5, 5, -2])).toBe(-2);
    expect(distance([-1, 5, 2])).toBeNaN();
    expect(distance([-1, -1, 2])).toBeNaN();
    // Just inside, next to a border edge but not on it.
    expect(distance([0.2, 5.1, 2])).toBe(2);
  });

  test("where the two surfaces face apart by more than 60 degrees", () => {
    const tilted = (degrees: 59 | 61): Vector3 =>
      degrees === 59 ? [0.8571673, 0, 0.5150381] : [0.8746197, 0, 0.4848096];
    expect(distance([5.2, 5.4, 1], [0, 0, 1])).toBe(1);
    expect(distance([5.2, 5.4, 1], tilted(59))).toBe(1);
    expect(distance([5.2, 5.4, 1], tilted(61))).toBeNaN();
    expect(distance([5.2, 5.4, 1], [0, 0, -1])).toBeNaN();
  });

  test("where the surface is farther away than asked for", () => {
    expect(distance([5, 5, 2], [0, 0, 0], 1.9)).toBeNaN();
    expect(distance([5, 5, 2], [0, 0, 0], 2.1)).toBe(2);
  });
});

describe("vertex normals", () => {
  test("point outwards from a ball and have length 1", () => {
    const mesh = ball(10, 24, 14);
    const normals = vertexNormals(mesh);
    for (let v = 0; v < mesh.positions.length; v += 3) {
      const p: Vector3 = [mesh.positions[v]!, mesh.positions[v + 1]!, mesh.positions[v + 2]!];
      const n: Vector3 = [normals[v]!, normals[v + 1]!, normals[v + 2]!];
      expect(length(n)).toBeCloseTo(1, 12);
      expect(n[0] * p[0] + n[1] * p[1] + n[2] * p[2]).toBeGreaterThan(10 * 0.995);
    }
  });

  test("of a cube's corner do not depend on which way its faces are cut", () => {
    const corners = [
      [0, 0, 0],
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
      [1, 1, 0],
      [1, 0, 1],
      [0, 1, 1],
    ];
    const throughCorner = meshOf(corners, [
      [0, 4, 1],
      [0, 2, 4],
      [0, 1, 5],
      [0, 5, 3],
      [0, 3, 6],
      [0, 6, 2],
    ]);
    const acrossCorner = meshOf(corners, [
      [0, 2, 1],
      [0, 1, 3],
      [0, 3, 2],
    ]);
    const a = vertexNormals(throughCorner);
    const b = vertexNormals(acrossCorner);
    for (let k = 0; k < 3; k++) {
      expect(a[k]).toBeCloseTo(-1 / Math.sqrt(3), 12);
      expect(b[k]).toBeCloseTo(-1 / Math.sqrt(3), 12);
    }
    expect(length(scale([a[0]!, a[1]!, a[2]!], 2))).toBeCloseTo(2, 12);
  });

  test("are nothing where only a triangle without area meets the corner", () => {
    const normals = vertexNormals(
      meshOf(
        [
          [0, 0, 0],
          [1, 1, 1],
          [2, 2, 2],
        ],
        [[0, 1, 2]],
      ),
    );
    expect([...normals]).toEqual(new Array(9).fill(0));
  });
});
