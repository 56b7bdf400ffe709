import type { Profile } from "./profile";

/**
 * The crown frame: u to mesial, v to buccal, w to occlusal; origin in the middle of the neck; mm.
 * It is left-handed on one side of the mouth, so that right and left share their shapes.
 */
export type CrownPoint = readonly [u: number, v: number, w: number];

/** A crest of the chewing surface from `from` to `to`; it falls to both sides at `slope`, rounded over `round` mm. */
export interface Crest {
  readonly from: CrownPoint;
  readonly to: CrownPoint;
  readonly slope: number;
  readonly round: number;
}

/** A fissure of the chewing surface: a V of `depth` mm that closes at `reach` mm to both sides of a line in u, v. */
export interface Fissure {
  readonly line: readonly (readonly [u: number, v: number])[];
  readonly depth: number;
  readonly reach: number;
}

/** A swelling (positive `out`, mm) or hollow (negative) of the crown's wall on its buccal (+1) or palatal (−1) side. */
export interface WallRelief {
  readonly side: 1 | -1;
  readonly u: number;
  readonly reachU: number;
  /** Middle height and reach as shares of the crown height. */
  readonly height: number;
  readonly reachHeight: number;
  readonly out: number;
}

/** The line of the gingiva on a crown: heights above the neck, mm. */
export interface GingivalLine {
  readonly buccal: number;
  readonly palatal: number;
  readonly mesialPapilla: number;
  readonly distalPapilla: number;
  /** Where along u the most apical point lies, as a share of the half width (negative: to distal). */
  readonly zenith: number;
}

/** One crown in its own frame. */
export interface CrownShape {
  readonly height: number;
  /** Half sizes of the horizontal cross-section over height as a share of the crown height (0 neck, 1 tip), mm. */
  readonly mesial: Profile;
  readonly distal: Profile;
  readonly buccal: Profile;
  readonly palatal: Profile;
  /** Shape of the cross-section over height: 0 an ellipse, 1 a rounded rectangle. */
  readonly squareness: Profile;
  /** How far the buccal side lies to mesial of the palatal side, mm per mm. */
  readonly shear: number;
  /** Bow of the crown to buccal, 1/mm. */
  readonly bow: number;
  readonly crests: readonly Crest[];
  readonly fissures: readonly Fissure[];
  readonly reliefs: readonly WallRelief[];
  /** Lowest level of the chewing surface, mm above the neck. */
  readonly floor: number;
  /** Rounding between wall and chewing surface, mm. */
  readonly edge: number;
  readonly gingiva: GingivalLine;
  /** About where the landmarks lie; their exact places are found on the surface. */
  readonly places: readonly (readonly [place: string, at: CrownPoint])[];
}
