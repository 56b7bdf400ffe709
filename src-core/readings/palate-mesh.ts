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
 */
export function bySurface(
  mesh: BareMesh,
  touched: readonly Uint32Array[],
  fields: readonly ScannerField[],
  value: (mesh: BareMesh) => number,
): number[] {
  const vertices = new Set<number>();
  for (const list of touched)
    for (const t of list) for (let k = 0; k < 3; k++) vertices.add(mesh.triangles[3 * t + k]!);
  return fields.map((field) => {
    const bent = (share: number): number => {
      const positions = mesh.positions.slice();
      for (const vertex of vertices) {
        const i = 3 * vertex;
        const p: Vector3 = [positions[i]!, positions[i + 1]!, positions[i + 2]!];
        field(p).forEach((shift, axis) => {
          positions[i + axis] = p[axis]! + share * shift;
        });
      }
      return value({ ...mesh, positions });
    };
    return (bent(SHARE) - bent(-SHARE)) / (2 * SHARE);
  });
}
