import { expect, test } from "vitest";
import { apply, fromRotationVector, invert } from "#core/geometry/rigid-transform";
import { distance, type Vector3 } from "#core/geometry/vector";
import { landmarkStart, type Mark } from "#core/registration/landmark-start";
import { inventedMarks } from "./invented-arch";

const scan = { person: 1, spacing: 1, noise: 0, seed: 1 };
const pose = fromRotationVector([0.9, -0.2, 2], [100, 20, -40]);

test("landmarks placed 0.3 mm off lay one scan on the other to a third of a millimetre", () => {
  const start = landmarkStart(inventedMarks(scan, 0.3), inventedMarks({ ...scan, seed: 2, pose }, 0.3), "The arch");
  for (const p of [
    [0, 20, 15],
    [20, 35, 0],
    [-20, 35, 0],
  ] as Vector3[]) {
    expect(distance(apply(start.transform, p), apply(pose, p))).toBeLessThan(0.33);
  }
  expect(start.rms).toBeGreaterThan(0.2);
  expect(start.rms).toBeLessThan(0.6);
});

test("points of the raphe are many and pair with none", () => {
  const raphe: Mark[] = [14, 20, 26].map((y) => ({ place: "median-raphe", at: [0, y, y * y * 0.01] }));
  expect(() => landmarkStart(raphe, raphe, "The palate")).toThrow(/share only 0 landmarks/);
});

test("landmarks of different teeth do not pair, and fewer than three pairs give no position", () => {
  const right = inventedMarks(scan).filter((mark) => mark.tooth !== undefined && mark.tooth < 20);
  const left = inventedMarks(scan).filter((mark) => mark.tooth !== undefined && mark.tooth > 20);
  expect(() => landmarkStart(right, left, "The palate")).toThrowError(
    expect.objectContaining({ code: "too-few-points", subject: "The palate" }),
  );
  expect(() => landmarkStart(right.slice(0, 2), right, "The palate")).toThrow(/share only 2 landmarks/);
});

test("landmarks nearly on one line hold no position", () => {
  const row: Mark[] = [13, 14, 15, 16].map((tooth, i) => ({
    tooth,
    place: "palatal-gingival",
    at: [0.2 * i * i, 9 * i, 0],
  }));
  const there = row.map((mark) => ({ ...mark, at: apply(invert(pose), mark.at) }));
  expect(() => landmarkStart(row, there, "The right half")).toThrowError(
    expect.objectContaining({ code: "fit-unstable", subject: "The right half" }),
  );
});
