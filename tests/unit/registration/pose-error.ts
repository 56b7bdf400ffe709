import { apply, invert, type RigidTransform } from "#core/geometry/rigid-transform";
import { distance, type Vector3 } from "#core/geometry/vector";
import type { TriangleMesh } from "#core/mesh/triangle-mesh";
import { halfWidth } from "./invented-arch";

/** Root mean square distance (mm) between where two motions carry the vertices of a mesh, or of a region of it. */
export function rootMeanSquareOff(
  a: RigidTransform,
  b: RigidTransform,
  mesh: TriangleMesh,
  region?: Uint8Array,
): number {
  let squares = 0;
  let count = 0;
  const { positions } = mesh;
  for (let v = 0; v < positions.length / 3; v += 5) {
    if (region !== undefined && region[v] === 0) continue;
    const p: Vector3 = [positions[3 * v]!, positions[3 * v + 1]!, positions[3 * v + 2]!];
    const off = distance(apply(a, p), apply(b, p));
    squares += off * off;
    count++;
  }
  return Math.sqrt(squares / count);
}

/** Per vertex of an invented scan in the given pose: the vault between the crowns. */
export function vaultOf(
  mesh: TriangleMesh,
  pose: RigidTransform,
  accept: (p: Vector3) => boolean = () => true,
): Uint8Array {
  const back = invert(pose);
  return Uint8Array.from({ length: mesh.positions.length / 3 }, (_, v) => {
    const p = apply(back, [mesh.positions[3 * v]!, mesh.positions[3 * v + 1]!, mesh.positions[3 * v + 2]!]);
    const inside = p[1] > 9 && p[1] < 38 && Math.abs(p[0]) < halfWidth(Math.max(0, p[1])) - 8;
    return inside && accept(p) ? 1 : 0;
  });
}

/** A motion from the 16 numbers of its 4 × 4 matrix, row by row. */
export const transformOf = (numbers: readonly number[]): RigidTransform => ({
  rotation: [0, 1, 2].flatMap((row) => numbers.slice(4 * row, 4 * row + 3)) as unknown as RigidTransform["rotation"],
  translation: [3, 7, 11].map((i) => numbers[i]!) as unknown as RigidTransform["translation"],
});
