import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { sampleSurface } from "#core/mesh/sample-surface";
import { type MovingPoints, movingPoints } from "#core/registration/point-pairs";
import type { RegistrationSurface } from "#core/registration/registration-surface";

/** What the reference programs read: one surface, points to be moved on to it, and places to measure from. */
export interface ReferenceInput {
  readonly fixed: RegistrationSurface;
  readonly moving: MovingPoints;
  /** x, y, z, mm. */
  readonly queries: Float64Array;
}

/** The points of a surface (or of a part of it) that a registration moves. */
export const pointsToMove = (moving: RegistrationSurface, count: number, region?: Uint8Array): MovingPoints =>
  movingPoints(moving, sampleSurface(moving.mesh, count, 1, region));

/** Writes the input as raw little-endian numbers into a new temporary folder, whose name is returned. */
export function writeReferenceInput({ fixed, moving, queries }: ReferenceInput): string {
  const folder = mkdtempSync(join(tmpdir(), "raphe-reference-"));
  const write = (name: string, values: Float64Array | Uint32Array) =>
    writeFileSync(join(folder, name), new Uint8Array(values.buffer, values.byteOffset, values.byteLength));
  write("fixed-positions.f64", fixed.mesh.positions);
  write("fixed-normals.f64", fixed.normals);
  write("fixed-triangles.u32", fixed.mesh.triangles);
  write("moving-points.f64", moving.positions);
  write("moving-normals.f64", moving.normals);
  write("queries.f64", queries);
  return folder;
}
