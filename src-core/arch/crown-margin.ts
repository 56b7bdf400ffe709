import { apply, invert, type RigidTransform, rotate } from "../geometry/rigid-transform";
import { addScaled, subtract, type Vector3 } from "../geometry/vector";
import { closestPoint, newClosestPoint } from "../mesh/closest-point";
import type { Surface } from "../mesh/surface";
import { type CrownFrame, inCrown } from "./crown-frame";
import { crownSize } from "./crown-sizes";
import { marginNear } from "./margin";
import { kindOf } from "./teeth";

/** How far the real margin may stand from the average crown's, in the order in which places are tried, mm. */
const TRIED = [0, 1.2, -1.2, 2.4, -2.4] as const;
/** A molar's walls are looked at beside their groove, which ends as hollow as the crease: this share towards mesial. */
const BESIDE_GROOVE = 0.22;
/** A crease farther from the place it was looked for at than this belongs to something else, mm. */
const NEAR = 2.2;

/**
 * Where the gingival crease crosses the middle of a crown's buccal or palatal wall, for crowns whose gingival point
 * nobody placed.
 * @param toFrame file coordinates (mm) → arch frame
 * @param expected height of the margin by the average crown, mm to occlusal of the crown's middle
 * @returns height of the crease, mm to occlusal of the crown's middle; null where none is found near
 */
export function creaseHeight(
  surface: Surface,
  toFrame: RigidTransform,
  frame: CrownFrame,
  side: "buccal" | "palatal",
  expected: number,
): number | null {
  const toFile = invert(toFrame);
  const apical = rotate(toFile, [0, 0, 1]);
  const { mesiodistal, buccopalatal } = crownSize(frame.tooth);
  const aside = kindOf(frame.tooth) === "molar" ? BESIDE_GROOVE * mesiodistal : 0;
  const half = (side === "buccal" ? 0.5 : -0.5) * buccopalatal;
  const heightOf = (p: Vector3): Vector3 => inCrown(frame, subtract(apply(toFrame, p), frame.centre));
  const found = newClosestPoint();
  for (const offset of TRIED) {
    const wall = addScaled(addScaled(frame.centre, frame.buccal, half), frame.mesial, aside);
    const at = apply(toFile, addScaled(wall, frame.occlusal, expected + offset));
    closestPoint(surface.tree, at[0], at[1], at[2], found);
    const crease = marginNear(surface, [found.x, found.y, found.z], apical);
    if (crease === null) continue;
    const [along, across, height] = heightOf(crease);
    const onThisWall = across * half > 0 && Math.abs(along) < mesiodistal / 2;
    if (onThisWall && Math.abs(height - expected - offset) <= NEAR) return height;
  }
  return null;
}
