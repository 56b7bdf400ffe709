import { expect, test } from "vitest";
import { sampleSurface } from "#core/mesh/sample-surface";
import { meshOf, terrain } from "./surfaces";

const plate = terrain(30, 20, { x: [0, 30], y: [0, 20] }, () => 0);

test("points stand evenly by area, however the surface is cut", () => {
  // A square of 100 mm² in two triangles beside one of 100 mm² in 800.
  const fine = terrain(20, 20, { x: [10, 20], y: [0, 10] }, () => 0);
  const coarse = [
    [0, 0, 0],
    [10, 0, 0],
    [10, 10, 0],
    [0, 10, 0],
  ];
  const shift = (t: number) => t + 4;
  const mesh = {
    positions: Float64Array.from([...coarse.flat(), ...fine.positions]),
    triangles: Uint32Array.from([0, 1, 2, 0, 2, 3, ...Array.from(fine.triangles, shift)]),
    fileTriangles: Uint32Array.from({ length: 802 }, (_, t) => t),
  };
  const sample = sampleSurface(mesh, 4000, 1);
  let left = 0;
  let lowerLeft = 0;
  for (let i = 0; i < 4000; i++) {
    if (sample.positions[3 * i]! < 10) left++;
    if (sample.positions[3 * i]! < 5 && sample.positions[3 * i + 1]! < 5) lowerLeft++;
  }
  expect(sample.area).toBeCloseTo(200, 9);
  expect(Math.abs(left - 2000)).toBeLessThanOrEqual(1);
  expect(Math.abs(lowerLeft - 500)).toBeLessThan(70);
});

test("only the region is sampled, and its area told", () => {
  const region = new Uint8Array(plate.positions.length / 3);
  for (let v = 0; v < region.length; v++) region[v] = plate.positions[3 * v]! <= 12 ? 1 : 0;
  const sample = sampleSurface(plate, 500, 3, region);
  expect(sample.area).toBeCloseTo(240, 9);
  for (let i = 0; i < 500; i++) expect(sample.positions[3 * i]!).toBeLessThanOrEqual(12);
  expect(sampleSurface(plate, 500, 3, new Uint8Array(region.length))).toMatchObject({ area: 0 });
  expect(sampleSurface(plate, 500, 3, new Uint8Array(region.length)).triangles.length).toBe(0);
});

test("each point is the weighted mean of its triangle's corners", () => {
  const mesh = meshOf(
    [
      [0, 0, 0],
      [4, 0, 2],
      [0, 6, 1],
    ],
    [[0, 1, 2]],
  );
  const sample = sampleSurface(mesh, 50, 4);
  for (let i = 0; i < 50; i++) {
    const w = sample.weights.subarray(3 * i, 3 * i + 3);
    expect(w[0]! + w[1]! + w[2]!).toBeCloseTo(1, 12);
    for (const weight of w) expect(weight).toBeGreaterThanOrEqual(0);
    expect(sample.positions[3 * i]).toBeCloseTo(4 * w[1]!, 12);
    expect(sample.positions[3 * i + 2]).toBeCloseTo(2 * w[1]! + w[2]!, 12);
  }
});

test("equal seeds give equal points, another seed gives others", () => {
  expect(sampleSurface(plate, 300, 7)).toEqual(sampleSurface(plate, 300, 7));
  expect(sampleSurface(plate, 300, 7).positions).not.toEqual(sampleSurface(plate, 300, 8).positions);
});
