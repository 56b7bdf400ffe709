import { fromRotationVector } from "#core/geometry/rigid-transform";
import { surfaceOf } from "#core/mesh/surface";
import type { TriangleMesh } from "#core/mesh/triangle-mesh";
import { registrationSurface } from "#core/registration/registration-surface";
import { type InventedScan, inventedScan } from "./invented-arch";

export const prepare = (mesh: TriangleMesh) => registrationSurface(surfaceOf(mesh));

/** 3.5 degrees and 1.9 mm away from where the before scan lies: as far as landmarks leave it. */
export const POSE = fromRotationVector([0.03, -0.05, 0.02], [1, -1, 1.2], [0, 25, 10]);

/** An invented scan with the noise of a scanner. */
export const scan = (more: Partial<InventedScan>): InventedScan => ({
  person: 1,
  spacing: 0.35,
  noise: 0.02,
  seed: 1,
  ...more,
});

/**
 * Two scans of one arch: on the later one four crowns of the right side stand 1.5 mm further out, the back is cut off; a
 * fifth of the surface changed.
 */
export const changedArch = () => ({
  before: prepare(inventedScan(scan({}))),
  after: prepare(inventedScan(scan({ seed: 2, spacing: 0.37, movedCrowns: [0, 1, 2, 3], backEnd: 46, pose: POSE }))),
});
