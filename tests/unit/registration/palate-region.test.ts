import { describe, expect, test } from "vitest";
import { apply, fromRotationVector, IDENTITY, invert } from "#core/geometry/rigid-transform";
import type { Vector3 } from "#core/geometry/vector";
import { distance } from "#core/geometry/vector";
import { surfaceOf } from "#core/mesh/surface";
import { largestPart } from "#core/registration/largest-part";
import { proposePalateRegion } from "#core/registration/palate-region";
import { terrain } from "../mesh/surfaces";
import { CROWNS, type InventedScan, inventedMarks, inventedScan } from "./invented-arch";

const scan: InventedScan = { person: 1, spacing: 0.5, noise: 0.02, seed: 1 };
const surface = surfaceOf(inventedScan(scan));
const marks = inventedMarks(scan);
const region = proposePalateRegion(surface, IDENTITY, marks, "before");
const at = (v: number): Vector3 => [
  surface.mesh.positions[3 * v]!,
  surface.mesh.positions[3 * v + 1]!,
  surface.mesh.positions[3 * v + 2]!,
];
const members = (mask: Uint8Array): Vector3[] => [...mask.keys()].filter((v) => mask[v] === 1).map(at);

describe("the palatal region proposed from landmarks", () => {
  test("is the vault: some seven to eight hundred square millimetres, facing occlusal", () => {
    expect(region.whole.area).toBeGreaterThan(600);
    expect(region.whole.area).toBeLessThan(1000);
    for (const [v, chosen] of region.whole.mask.entries()) {
      if (chosen) expect(surface.normals[3 * v + 2]!).toBeLessThan(-0.3);
    }
  });

  test("keeps 3 mm from every palatal gingival point and away from the crowns", () => {
    const gingival = marks.filter((mark) => mark.place === "palatal-gingival").map((mark) => mark.at);
    for (const p of members(region.whole.mask)) {
      for (const g of gingival) expect(distance(p, g)).toBeGreaterThanOrEqual(3 - 1e-9);
      for (const crown of CROWNS) expect(Math.hypot(p[0] - crown[0], p[1] - crown[1])).toBeGreaterThan(5);
    }
  });

  test("lies behind the incisive papilla and in front of the distal of the first molars", () => {
    const papilla = marks.find((mark) => mark.place === "incisive-papilla")!.at[1];
    const molars = marks.filter((m) => (m.tooth === 16 || m.tooth === 26) && m.place === "palatal-gingival");
    const back = Math.min(...molars.map((m) => m.at[1])) + 5;
    for (const p of members(region.whole.mask)) {
      expect(p[1]).toBeGreaterThan(papilla + 2.9);
      expect(p[1]).toBeLessThanOrEqual(back);
    }
  });

  test("has two halves, the patient's right at negative x, that leave out 3.5 mm beside the median plane", () => {
    expect(members(region.right.mask).every((p) => p[0] < -3.5)).toBe(true);
    expect(members(region.left.mask).every((p) => p[0] > 3.5)).toBe(true);
    expect(region.right.area + region.left.area).toBeLessThan(region.whole.area);
    expect(Math.abs(region.right.area - region.left.area)).toBeLessThan(0.15 * region.right.area);
  });

  test("is the same wherever the file's axes lie", () => {
    const pose = fromRotationVector([0.7, -1.2, 0.4], [40, -70, 10]);
    const posed = surfaceOf(inventedScan({ ...scan, pose }));
    const there = proposePalateRegion(posed, invert(pose), inventedMarks({ ...scan, pose }), "before");
    const differing = there.whole.mask.filter((chosen, v) => chosen !== region.whole.mask[v]).length;
    expect(differing).toBeLessThan(5);
    expect(apply(invert(pose), apply(pose, [1, 2, 3]))[0]).toBeCloseTo(1, 12);
  });

  test("is nearly the same from cusp tips alone", () => {
    const cusps = marks.filter((mark) => mark.place !== "palatal-gingival");
    const found = proposePalateRegion(surface, IDENTITY, cusps, "before");
    const common = found.whole.mask.filter((chosen, v) => chosen === 1 && region.whole.mask[v] === 1).length;
    const either = found.whole.mask.filter((chosen, v) => chosen === 1 || region.whole.mask[v] === 1).length;
    expect(common / either).toBeGreaterThan(0.6);
  });

  test("needs two teeth on each side", () => {
    const rightOnly = marks.filter((mark) => mark.tooth === undefined || mark.tooth < 20);
    expect(() => proposePalateRegion(surface, IDENTITY, rightOnly, "before")).toThrow(
      /before: the palatal region needs .* on the left side/,
    );
  });
});

test("of several pieces the largest is kept", () => {
  const plate = surfaceOf(terrain(30, 10, { x: [0, 30], y: [0, 10] }, () => 0));
  const chosen = Uint8Array.from({ length: plate.mesh.positions.length / 3 }, (_, v) => {
    const x = plate.mesh.positions[3 * v]!;
    return x < 9 || x > 14 ? 1 : 0;
  });
  const kept = largestPart(plate, chosen);
  for (const [v, value] of kept.entries()) expect(value).toBe(plate.mesh.positions[3 * v]! > 14 ? 1 : 0);
  expect(largestPart(plate, new Uint8Array(chosen.length)).every((value) => value === 0)).toBe(true);
});
