import { absoluteOrientation } from "../geometry/absolute-orientation";
import { apply, type RigidTransform } from "../geometry/rigid-transform";
import { distance, type Vector3 } from "../geometry/vector";
import type { TriangleMesh } from "../mesh/triangle-mesh";

/** A part of a surface with its own motion. */
export interface MovedPart {
  /** Per vertex, 0 = not part of it. */
  readonly mask: Uint8Array;
  readonly motion: RigidTransform;
}

/** Points taken from each part. */
const POINTS = 2000;

/**
 * The one rigid motion nearest to the motions of two parts, each part counting the same: it shares what they moved
 * apart about evenly. (Registering both at once does not: nearest points slide a narrow vault along a wider one until
 * one side, or a neighbouring ruga, locks.)
 * @returns the motion, and the root mean square distance (mm) it leaves between the parts' own motions and itself
 * @throws RapheError `too-few-points`, `fit-unstable` where the parts have no three points off one line
 */
export function sharedMotion(
  mesh: TriangleMesh,
  parts: readonly [MovedPart, MovedPart],
): { transform: RigidTransform; apart: number } {
  const from: Vector3[] = [];
  const to: Vector3[] = [];
  const weights: number[] = [];
  for (const { mask, motion } of parts) {
    const members = mask.reduce((count, chosen) => count + (chosen === 0 ? 0 : 1), 0);
    const wanted = Math.min(members, POINTS);
    let seen = 0;
    let taken = 0;
    for (let v = 0; v < mask.length; v++) {
      if (mask[v] === 0) continue;
      // Every (members / wanted)-th vertex: evenly spread in the mesh's own order.
      if (Math.floor((seen * wanted) / members) === taken) {
        const p: Vector3 = [mesh.positions[3 * v]!, mesh.positions[3 * v + 1]!, mesh.positions[3 * v + 2]!];
        from.push(p);
        to.push(apply(motion, p));
        weights.push(1 / wanted);
        taken++;
      }
      seen++;
    }
  }
  const transform = absoluteOrientation(from, to, weights);
  const squares = from.reduce((sum, p, i) => {
    const off = distance(apply(transform, p), to[i]!);
    return sum + (weights[i]! / 2) * off * off;
  }, 0);
  return { transform, apart: Math.sqrt(squares) };
}
