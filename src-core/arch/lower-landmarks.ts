import { fitPlane } from "../geometry/plane-fit";
import { dot, scale, type Vector3 } from "../geometry/vector";
import type { Surface } from "../mesh/surface";
import { crownTop, type Landmark, sameSpot } from "./landmark";
import { type LandmarkInUse, lookUp, occlusalOf, type ScanLandmarks } from "./landmarks-in-use";
import { isUpper, kindOf } from "./teeth";

/** The landmarks of a lower arch, ready to measure straight widths with. */
export interface LowerLandmarks {
  readonly inUse: readonly LandmarkInUse[];
  readonly faults: ScanLandmarks["faults"];
}

/** Points on a plane nearer to one line than this do not fix it, mm. */
const LEAST_SPREAD = 3;

/**
 * Finds the spots that the landmarks placed on a lower arch mean, as for an upper one; its occlusal side faces the head.
 * The direction towards occlusal is the normal of the plane through its buccal cusp tips, on the side to which the cusps
 * face; where they fix no plane, the way they face. Straight widths need no frame, so it gets none.
 * @param surface of the lower scan; null where it is not at hand: the points are then used as placed
 * @param landmarks as placed; of two on the same spot the later counts
 * @param scan its name, for errors
 */
export function lowerLandmarksInUse(
  surface: Surface | null,
  landmarks: readonly Landmark[],
  scan: string,
): LowerLandmarks {
  const single = landmarks.filter((mark, i) => !landmarks.slice(i + 1).some((later) => sameSpot(mark, later)));
  if (surface === null) {
    const asPlaced = single.map(
      ({ tooth, place, at }): LandmarkInUse => ({
        tooth: tooth ?? null,
        place,
        placed: at,
        used: at,
        inFrame: null,
        how: "as-placed",
      }),
    );
    return { inUse: asPlaced, faults: [] };
  }
  const first = lookUp(surface, single, lowerOcclusal(surface, single), scan);
  const { found, faults } = lookUp(surface, single, lowerOcclusal(surface, first.marks), scan);
  return { inUse: found.map((one) => ({ ...one, inFrame: null })), faults };
}

/** Unit direction towards the upper arch, file coordinates; null where no cusp is marked. */
function lowerOcclusal(surface: Surface, marks: readonly Landmark[]): Vector3 | null {
  const facing = occlusalOf(null, surface, marks);
  const tips = marks.filter(isBuccalCusp).map(({ at }) => at as Vector3);
  if (facing === null || tips.length < 4) return facing;
  const plane = fitPlane(tips);
  if (plane.spread[1] < LEAST_SPREAD) return facing;
  return dot(plane.normal, facing) < 0 ? scale(plane.normal, -1) : plane.normal;
}

const isBuccalCusp = ({ tooth, place }: Landmark): boolean =>
  tooth !== undefined && !isUpper(tooth) && kindOf(tooth) !== "incisor" && place === crownTop(tooth);
