import { apply, type RigidTransform } from "../geometry/rigid-transform";
import { nearestPoint } from "../mesh/point-tree";
import { regionArea } from "../mesh/sample-surface";
import type { Surface } from "../mesh/surface";
import type { RegistrationSurface } from "../registration/registration-surface";

/** A crown's own surface is looked for on the other scan within this distance, mm. */
const NEAR = 2;

/**
 * Share (0 to 1) of a crown's patch that an appliance covers on its own scan.
 * @param patch per vertex, 1 = the crown's
 * @param uncovered the patch without what is masked
 */
export function coveredShare(surface: Surface, patch: Uint8Array, uncovered: Uint8Array): number {
  const whole = regionArea(surface.mesh, patch);
  return whole > 0 ? 1 - regionArea(surface.mesh, uncovered) / whole : 0;
}

/**
 * Share (0 to 1) of a crown's patch that lies under an appliance on the other scan: whose nearest vertex there is masked.
 * @param motion to the other scan's file coordinates, mm
 */
export function coveredShareThere(
  surface: Surface,
  patch: Uint8Array,
  there: RegistrationSurface,
  motion: RigidTransform,
): number {
  const { masked } = there;
  if (masked === undefined) return 0;
  const { positions } = surface.mesh;
  let all = 0;
  let covered = 0;
  for (let v = 0; v < patch.length; v++) {
    if (patch[v] === 0) continue;
    all++;
    const p = apply(motion, [positions[3 * v]!, positions[3 * v + 1]!, positions[3 * v + 2]!]);
    const partner = nearestPoint(there.points, p[0], p[1], p[2], NEAR);
    if (partner >= 0 && masked.vertices[partner] === 1) covered++;
  }
  return all === 0 ? 0 : covered / all;
}
