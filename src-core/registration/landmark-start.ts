import { RapheError } from "../errors";
import { absoluteOrientation } from "../geometry/absolute-orientation";
import { principalAxes } from "../geometry/principal-axes";
import { apply, type RigidTransform } from "../geometry/rigid-transform";
import { distance, type Vector3 } from "../geometry/vector";

/** A point of the surface that has a name, in file coordinates (mm): a landmark. */
export interface Mark {
  /** ISO 3950 number; undefined for a place of the palate. */
  readonly tooth?: number | undefined;
  readonly place: string;
  readonly at: Vector3;
}

/** A first position from landmarks. */
export interface LandmarkStart {
  /** Moving → fixed, mm. */
  readonly transform: RigidTransform;
  /** Root mean square distance left between the paired landmarks, mm. */
  readonly rms: number;
  /** Number of pairs. */
  readonly pairs: number;
}

/** Smallest spread of the landmarks across their main direction (root mean square, mm) that still holds a position. */
const LEAST_SPREAD = 2;

/**
 * Lays one scan on another by the landmarks they share (same tooth, same place), a first position for `rigidIcp`.
 * @param subject what is being registered, for errors
 * @throws RapheError `too-few-points` with fewer than three shared landmarks, `fit-unstable` where they lie nearly on
 *   one line
 */
export function landmarkStart(moving: readonly Mark[], fixed: readonly Mark[], subject: string): LandmarkStart {
  const pairs = pairedMarks(moving, fixed);
  if (pairs.length < 3) {
    throw new RapheError({
      code: "too-few-points",
      subject,
      problem: `both scans share only ${pairs.length} landmarks, three are needed for a first position`,
      remedy: "Place the same landmarks on both scans: cusp tips and palatal gingival points of at least two teeth",
    });
  }
  const from = pairs.map(([p]) => p);
  const to = pairs.map(([, q]) => q);
  if (!(principalAxes(from).spread[1] >= LEAST_SPREAD && principalAxes(to).spread[1] >= LEAST_SPREAD)) {
    throw new RapheError({
      code: "fit-unstable",
      subject,
      problem: "the shared landmarks lie nearly on one line, so the turn about it is not held",
      remedy: "Add a landmark away from that line on both scans",
    });
  }
  const transform = absoluteOrientation(from, to);
  let squares = 0;
  for (const [p, q] of pairs) squares += distance(apply(transform, p), q) * distance(apply(transform, p), q);
  return { transform, rms: Math.sqrt(squares / pairs.length), pairs: pairs.length };
}

/** Landmarks that stand on both scans. Points of the raphe have one name and are not the same spot. */
function pairedMarks(moving: readonly Mark[], fixed: readonly Mark[]): (readonly [Vector3, Vector3])[] {
  return moving.flatMap((mark) => {
    if (mark.place === "median-raphe") return [];
    const partner = fixed.find((other) => other.tooth === mark.tooth && other.place === mark.place);
    return partner === undefined ? [] : [[mark.at, partner.at] as const];
  });
}
