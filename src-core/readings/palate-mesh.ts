import { apply, type RigidTransform } from "../geometry/rigid-transform";
import type { Vector3 } from "../geometry/vector";
import { borderLoops } from "../mesh/border";
import { type BareMesh, filledHoles } from "../mesh/filled-holes";
import type { Surface } from "../mesh/surface";
import type { ScannerField } from "./scanner-fields";

/** Rim of the largest hole that is closed for measuring, mm: about 6 mm across. */
const LARGEST_RIM = 20;

/** A scan's surface in its arch frame, small holes closed. */
export interface PalateMesh extends BareMesh {
  /** Whether an appliance covers one of these triangles. */
  covers(triangles: Iterable<number>): boolean;
}

/** The scan's surface to read the palate on. */
export function palateMesh(surface: Surface, toFrame: RigidTransform): PalateMesh {
  const { mesh, opposite } = surface;
  const positions = new Float64Array(mesh.positions.length);
  for (let i = 0; i < positions.length; i += 3) {
    const p = apply(toFrame, [mesh.positions[i]!, mesh.positions[i + 1]!, mesh.positions[i + 2]!]);
    for (let k = 0; k < 3; k++) positions[i + k] = p[k]!;
  }
  const loops = borderLoops(mesh, opposite);
  const masked = surface.masked?.triangles;
  return {
    ...filledHoles({ positions, triangles: mesh.triangles, opposite }, loops, LARGEST_RIM),
    covers: (triangles) => {
      // Triangles that fill a hole come after those of the scan.
      if (masked !== undefined) for (const t of triangles) if (masked[t] === 1) return true;
      return false;
    },
  };
}

/** The share of a scanner's field at which the surface is tried. */
const SHARE = 0.1;

/**
 * What each field of the scanner does to a value by bending the surface.
 * @param touched triangles on which the value depends
 * @param value of a mesh that holds good until the next call
 */
export function bySurface(
  mesh: BareMesh,
  touched: readonly Uint32Array[],
  fields: readonly ScannerField[],
  value: (mesh: BareMesh) => number,
): number[] {
  if (fields.length === 0) return [];
  const { triangles } = mesh;
  const isTouched = new Uint8Array(mesh.positions.length / 3);
  for (const list of touched)
    for (const t of list) for (let h = 3 * t; h < 3 * t + 3; h++) isTouched[triangles[h]!] = 1;
  const vertices: number[] = [];
  for (let v = 0; v < isTouched.length; v++) if (isTouched[v] === 1) vertices.push(v);
  // What is not touched stays where it is: one copy serves all fields.
  const positions = mesh.positions.slice();
  const bent = { ...mesh, positions };
  return fields.map((field) => {
    const shifts = vertices.map((vertex): Vector3 => {
      const i = 3 * vertex;
      return field([mesh.positions[i]!, mesh.positions[i + 1]!, mesh.positions[i + 2]!]);
    });
    const valueAt = (share: number): number => {
      for (let n = 0; n < vertices.length; n++) {
        const i = 3 * vertices[n]!;
        for (let k = 0; k < 3; k++) positions[i + k] = mesh.positions[i + k]! + share * shifts[n]![k]!;
      }
      return value(bent);
    };
    return (valueAt(SHARE) - valueAt(-SHARE)) / (2 * SHARE);
  });
}
