import { RapheError } from "../errors";
import { add, addScaled, distance, length, scale, type Vector3 } from "../geometry/vector";
import { closestPoint, newClosestPoint } from "../mesh/closest-point";
import { fitHeight, heightAt } from "../mesh/height-fit";
import { connectedPatch } from "../mesh/patch";
import type { Surface } from "../mesh/surface";
import { type Landmark, landmarkWords } from "./landmark";
import { marginNear } from "./margin";

/** A landmark farther than this from the surface stands on nothing, mm. */
export const FARTHEST_FROM_SURFACE = 1;
/** How far a click may be from the spot it means, mm. */
export const REACH = 1.2;

export type SnapKind =
  | "as-placed"
  | "snapped-to-highest"
  | "snapped-to-deepest"
  | "snapped-to-margin"
  | "dropped-to-surface";

/** Where a placed landmark really goes. */
export interface Snap {
  /** mm, file coordinates. */
  readonly at: Vector3;
  readonly how: SnapKind;
  /** Distance from the placed point, mm. */
  readonly moved: number;
}

/**
 * The spot a placed landmark means: a cusp tip is the highest point towards occlusal, a fossa the deepest, each the
 * extremum of a cubic fitted to the nearest millimetre (the highest vertex alone repeats only to 0.2 mm); a gingival
 * point is the most apical point of the gingival margin near it. Other places are dropped onto the surface. Where no
 * such spot lies within 1.2 mm, the point stays where it was dropped.
 * @param landmark as placed, mm in file coordinates
 * @param occlusal unit direction towards the opposite arch, file coordinates
 * @param scan the timepoint's name, for the error
 * @throws RapheError `landmark-off-surface` where it is more than 1 mm from the surface
 */
export function snapLandmark(surface: Surface, landmark: Landmark, occlusal: Vector3, scan: string): Snap {
  const placed: Vector3 = landmark.at;
  const found = newClosestPoint();
  closestPoint(surface.tree, placed[0], placed[1], placed[2], found);
  const away = Math.sqrt(found.squaredDistance);
  if (!(away <= FARTHEST_FROM_SURFACE)) {
    throw new RapheError({
      code: "landmark-off-surface",
      subject: scan,
      problem: `the ${landmarkWords(landmark)} is ${away.toFixed(1)} mm away from the surface`,
      where: `at ${placed.map((value) => value.toFixed(1)).join(", ")}`,
      remedy: "Place it on this scan again; check that the landmarks belong to this scan and its unit is right",
    });
  }
  if (landmark.snap === false) return { at: placed, how: "as-placed", moved: 0 };
  const dropped: Vector3 = [found.x, found.y, found.z];
  const place = landmark.place;
  const result = (at: Vector3 | null, how: SnapKind): Snap =>
    at !== null && distance(at, placed) <= REACH
      ? { at, how, moved: distance(at, placed) }
      : { at: dropped, how: "dropped-to-surface", moved: distance(dropped, placed) };
  if (place.endsWith("cusp-tip"))
    return result(extremum(surface, dropped, occlusal, CUSP_RADIUS), "snapped-to-highest");
  if (place === "central-fossa")
    return result(extremum(surface, dropped, scale(occlusal, -1), FOSSA_RADIUS), "snapped-to-deepest");
  if (place === "palatal-gingival" || place === "lingual-gingival" || place === "buccal-gingival-zenith") {
    return result(marginNear(surface, dropped, scale(occlusal, -1)), "snapped-to-margin");
  }
  return result(null, "dropped-to-surface");
}

/** Radius of the piece of surface that a cubic is fitted to, mm: a cusp is broader than a fossa. */
const CUSP_RADIUS = 1.4;
const FOSSA_RADIUS = 1;
const LONGEST_STEP = 0.3;

/** The nearest local extremum of height along `up`, climbed to from `start`; null where there is none in reach. */
function extremum(surface: Surface, start: Vector3, up: Vector3, radius: number): Vector3 | null {
  const found = newClosestPoint();
  let centre = start;
  for (let step = 0; step < 24; step++) {
    closestPoint(surface.tree, centre[0], centre[1], centre[2], found);
    const patch = connectedPatch(surface, found.triangle, centre, radius);
    const fit = fitHeight(surface, patch, centre, up, radius, 3);
    if (fit === null) return null;
    const [, c1, c2, c3, c4, c5] = fit.coefficients as unknown as [number, number, number, number, number, number];
    const determinant = 4 * c3 * c5 - c4 * c4;
    const isTop = c3 < 0 && determinant > 0;
    // Newton's step to the top where the surface is dome-shaped, else uphill.
    let u = isTop ? (c4 * c2 - 2 * c5 * c1) / determinant : c1;
    let v = isTop ? (c4 * c1 - 2 * c3 * c2) / determinant : c2;
    const stride = Math.sqrt(u * u + v * v);
    if (stride === 0) return isTop ? centre : null;
    const shorten = stride > LONGEST_STEP || !isTop ? LONGEST_STEP / stride : 1;
    u *= shorten;
    v *= shorten;
    const height = heightAt(fit, u, v);
    const move = add(add(scale(fit.uAxis, u), scale(fit.vAxis, v)), scale(up, height));
    const next = addScaled(centre, move, 1);
    if (distance(next, start) > 2 * REACH) return null;
    if (isTop && length(move) < 0.003) return next;
    centre = next;
  }
  return null;
}
