import type { Place } from "../arch/landmark";
import { apply, type RigidTransform } from "../geometry/rigid-transform";
import type { Vector3 } from "../geometry/vector";
import type { SpanReading } from "./arch-document";
import type { ArchScan } from "./arch-scan";
import type { Withheld } from "./quantity";

/** A landmark that a reading needs. */
export interface Spot {
  readonly tooth: number;
  readonly place: Place;
}

export const spot = (tooth: number, place: Place): Spot => ({ tooth, place });

/** Parts about the median plane are withheld where their expanded uncertainty, mostly the raphe's, exceeds this, mm. */
export const LARGEST_BY_RAPHE = 1;

/** What a reading stands on beside its points. */
export type Basis = "points" | "occlusal-plane" | "median-plane";

/** A reading on one scan as a function of its points. */
export interface Measure {
  /**
   * @param points the spots in their order, mm, in the nominal arch frame (basis 'points': in whatever frame there is)
   * @param frame nominal arch frame → the frame to measure in, for its uncertainty
   * @returns the value in the reading's unit
   */
  value(points: readonly Vector3[], frame: RigidTransform): number;
  /**
   * How far points are moved for the derivatives, mm; where nothing is given, hardly. A value that is read on one spot of
   * a surface needs steps of the size of the errors (GUM, JCGM 100:2008, 5.1.3 note 2): else the slope of a single
   * triangle would speak for it.
   */
  readonly step?: number;
  /** What each of the scanner's fields does to the value by bending the surface alone. */
  readonly bySurface?: readonly number[];
}

export interface ReadingDefinition extends Pick<SpanReading, "name" | "by" | "unit" | "teeth"> {
  readonly spots: readonly Spot[];
  readonly basis: Basis;
  /** Withheld where the expanded uncertainty exceeds this. */
  readonly largestUncertainty?: number;
  /** Whether it is read on the surface, and so asked for only where a scan has one. */
  readonly onSurface?: boolean;
  /** Withheld while one of its teeth is erupting. */
  readonly notWhileErupting?: boolean;
  /** How it is measured on a scan; or why it cannot be there. */
  on(scan: ArchScan, points: readonly Vector3[]): Measure | Withheld;
}

/** A reading from points alone: `value` gets the spots in the arch frame, in their order. */
export const fromPoints = (
  definition: Omit<ReadingDefinition, "on">,
  value: (points: readonly Vector3[]) => number,
): ReadingDefinition => {
  const measure: Measure = { value: (points, frame) => value(points.map((p) => apply(frame, p))) };
  return { ...definition, on: () => measure };
};

/** The palatal surface of the scan does not reach as far as the reading. */
export const incomplete = ({ timepoint }: Pick<ArchScan, "timepoint">): Withheld => ({
  code: "surface-incomplete",
  text: `the palate of the ${timepoint} scan has a hole or ends where this is read`,
  needs: [],
});

/** An appliance covers the palatal surface where it would be read. */
export const covered = ({ timepoint }: Pick<ArchScan, "timepoint">): Withheld => ({
  code: "masked",
  text: `an appliance covers the palate of the ${timepoint} scan where this is read`,
  needs: [],
});
