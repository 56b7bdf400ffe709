import { type Matrix4, Vector3 } from "three";
import { expect, test } from "vitest";
import { compose, fromRotationVector, invert } from "#core/geometry/rigid-transform";
import { matrixOf } from "../../../src-renderer/stage/arch-model";
import { StageCamera } from "../../../src-renderer/stage/stage-camera";

const CORNERS = [-30, 30].flatMap((x) => [-20, 25].flatMap((y) => [-8, 8].map((z) => new Vector3(x, y, z))));

function eyeFromBelow(): StageCamera {
  const eye = new StageCamera();
  eye.resize(900, 600);
  eye.lookFrom("below", CORNERS, false, 0);
  return eye;
}

test("when the scan stands elsewhere and the eye goes along, every point is seen where it was", () => {
  const eye = eyeFromBelow();
  eye.turnBy(37, -12);
  eye.zoomBy(0.7, 40, -25);
  const first = fromRotationVector([0.3, -0.2, 0.5], [4, -7, 2]);
  const better = fromRotationVector([0.31, -0.17, 0.52], [4.4, -6.8, 1.5]);
  const seen = (stand: Matrix4) => CORNERS.map((point) => eye.project(point.clone().applyMatrix4(stand)));
  const before = seen(matrixOf(first));
  const moved = seen(matrixOf(better));
  expect(Math.hypot(moved[0]![0] - before[0]![0], moved[0]![1] - before[0]![1])).toBeGreaterThan(5);
  eye.goAlong(matrixOf(compose(better, invert(first))));
  for (const [i, [x, y]] of seen(matrixOf(better)).entries()) {
    expect(x).toBeCloseTo(before[i]![0], 6);
    expect(y).toBeCloseTo(before[i]![1], 6);
  }
});

test("a turn under way goes along too, and ends where the look ends", () => {
  const [eye, straight] = [eyeFromBelow(), eyeFromBelow()];
  const motion = matrixOf(fromRotationVector([0.02, 0.01, -0.03], [1, -0.5, 0.3]));
  expect(eye.lookFrom("front", CORNERS, true, 0)).toBe(true);
  expect(eye.step(100)).toBe(true);
  eye.goAlong(motion);
  expect(eye.step(1_000)).toBe(false);
  straight.lookFrom("front", CORNERS, false, 0);
  for (const point of CORNERS) {
    const [x, y] = eye.project(point.clone().applyMatrix4(motion));
    const [wantedX, wantedY] = straight.project(point);
    expect(x).toBeCloseTo(wantedX, 6);
    expect(y).toBeCloseTo(wantedY, 6);
  }
});

test("a look that is there already is no turn", () => {
  const eye = eyeFromBelow();
  expect(eye.lookFrom("below", CORNERS, true, 0)).toBe(false);
  expect(eye.lookFrom("left", CORNERS, false, 0)).toBe(true);
});
