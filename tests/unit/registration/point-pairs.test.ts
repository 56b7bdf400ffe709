import { expect, test } from "vitest";
import { compose, fromRotationVector, IDENTITY } from "#core/geometry/rigid-transform";
import { seededRandom } from "#core/geometry/seeded-random";
import { UNWATCHED } from "#core/job-control";
import { sampleSurface } from "#core/mesh/sample-surface";
import { surfaceOf } from "#core/mesh/surface";
import { findPairs, movingPoints, PartnerMemory, PointPairs } from "#core/registration/point-pairs";
import { registrationSurface } from "#core/registration/registration-surface";
import { terrain } from "../mesh/surfaces";
import { inventedScan } from "./invented-arch";

const scan = (seed: number) =>
  registrationSurface(surfaceOf(inventedScan({ person: 1, spacing: 0.8, noise: 0.02, seed })));

test("a search that remembers partners finds the same pairs as one that does not, whatever the steps", () => {
  const [moving, fixed] = [scan(1), scan(2)];
  const points = movingPoints(moving, sampleSurface(moving.mesh, 1000, 1));
  const memory = new PartnerMemory(points.count);
  const [remembered, fresh] = [new PointPairs(points.count), new PointPairs(points.count)];
  const random = seededRandom(3);
  const about = (size: number) => [size * (random() - 0.5), size * (random() - 0.5), size * (random() - 0.5)] as const;
  let pose = IDENTITY;
  // Large and small steps in turn, and two limits: far, and so near that partners come and go.
  for (const step of [1, 0.3, 0.03, 0.003, 1e-4, 0.1, 1e-5, 0, 0.4, 0.01, 1e-4, 0.02, 2, 0.001]) {
    pose = compose(fromRotationVector(about(step / 30), about(step), [0, 25, 5]), pose);
    for (const maxDistance of [5, 0.2]) {
      const rule = { maxDistance, leastAgreement: 0.7, fixedRegion: undefined };
      findPairs(points, pose, fixed, rule, UNWATCHED, remembered, memory, random() < 0.7);
      findPairs(points, pose, fixed, rule, UNWATCHED, fresh);
      expect(remembered).toEqual(fresh);
    }
  }
});

test("after a small step few partners are searched anew", () => {
  const [moving, fixed] = [scan(1), scan(2)];
  const points = movingPoints(moving, sampleSurface(moving.mesh, 1000, 1));
  const memory = new PartnerMemory(points.count);
  const pairs = new PointPairs(points.count);
  const rule = { maxDistance: 5, leastAgreement: 0.7, fixedRegion: undefined };
  findPairs(points, IDENTITY, fixed, rule, UNWATCHED, pairs, memory, true);
  const places = memory.places.slice();
  findPairs(points, { ...IDENTITY, translation: [0.004, -0.003, 0.002] }, fixed, rule, UNWATCHED, pairs, memory, true);
  let searched = 0;
  for (let m = 0; m < points.count; m++) if (memory.places[3 * m] !== places[3 * m]) searched++;
  expect(searched).toBeGreaterThan(0);
  expect(searched).toBeLessThan(0.2 * points.count);
});

test("points that lie on two vertices of one place keep their partner, whatever is remembered", () => {
  const once = terrain(8, 8, { x: [-4, 4], y: [-4, 4] }, (x, y) => 0.1 * x * y);
  const { positions } = once;
  const fixed = registrationSurface(surfaceOf({ ...once, positions: Float64Array.of(...positions, ...positions) }));
  const count = positions.length / 3;
  const points = { count, positions, normals: fixed.normals.slice(0, 3 * count) };
  const memory = new PartnerMemory(count);
  const pairs = new PointPairs(count);
  const rule = { maxDistance: 5, leastAgreement: 0.7, fixedRegion: undefined };
  const inside = 7 * 7;
  for (const smallSteps of [true, true, false, false, true]) {
    findPairs(points, IDENTITY, fixed, rule, UNWATCHED, pairs, memory, smallSteps);
    expect(pairs.count).toBe(inside);
    expect([...memory.partners]).toEqual(Array.from({ length: count }, (_, v) => v));
  }
});

test("points to be moved lie on the curved surface that the vertices stand on, not on its flat triangles", () => {
  // A bowl of radius 6 mm at its deepest, sampled every 0.8 mm, with the vertex normals that its triangles give.
  const bowl = (x: number, y: number): number => (x * x + y * y) / 12;
  const surface = registrationSurface(surfaceOf(terrain(20, 20, { x: [-8, 8], y: [-8, 8] }, bowl)));
  const inside = Uint8Array.from({ length: surface.mesh.positions.length / 3 }, (_, v) =>
    Math.hypot(surface.mesh.positions[3 * v]!, surface.mesh.positions[3 * v + 1]!) < 5 ? 1 : 0,
  );
  const sample = sampleSurface(surface.mesh, 2000, 1, inside);
  const meanOff = (positions: Float64Array): number => {
    let sum = 0;
    for (let i = 0; i < positions.length; i += 3) {
      sum += positions[i + 2]! - bowl(positions[i]!, positions[i + 1]!);
    }
    return sum / 2000;
  };
  expect(meanOff(sample.positions)).toBeGreaterThan(0.012);
  expect(Math.abs(meanOff(movingPoints(surface, sample).positions))).toBeLessThan(0.0012);
});
