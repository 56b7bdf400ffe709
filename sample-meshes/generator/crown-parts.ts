import type { Crest, CrownPoint, CrownShape, Fissure, WallRelief } from "./crown-shape";
import { Profile } from "./profile";

/** Scales of one crown against the average one along u, v, w. */
export type CrownScale = readonly [u: number, v: number, w: number];

/** A crown written down in average millimetres, before it is scaled. */
export interface CrownDraft extends Omit<CrownShape, "mesial" | "distal" | "buccal" | "palatal" | "squareness"> {
  readonly mesial: readonly (readonly [number, number])[];
  readonly distal: readonly (readonly [number, number])[];
  readonly buccal: readonly (readonly [number, number])[];
  readonly palatal: readonly (readonly [number, number])[];
  readonly squareness: readonly (readonly [number, number])[];
}

export const crest = (from: CrownPoint, to: CrownPoint, slope = 1.2, round = 0.95): Crest => ({
  from,
  to,
  slope,
  round,
});

export const fissure = (line: readonly (readonly [number, number])[], depth = 0.5, reach = 0.65): Fissure => ({
  line,
  depth,
  reach,
});

export const relief = (
  side: 1 | -1,
  u: number,
  reachU: number,
  height: number,
  reachHeight: number,
  out: number,
): WallRelief => ({ side, u, reachU, height, reachHeight, out });

/** The root below the neck: the cross-section tapers, so that it sinks into the alveolar ridge. */
const withRoot = (points: readonly (readonly [number, number])[], scale: number): Profile => {
  const neck = points[0]![1] * scale;
  return new Profile([
    [-1, neck * 0.55],
    [-0.5, neck * 0.82],
    [-0.2, neck * 0.96],
    ...points.map(([t, value]) => [t, value * scale] as const),
  ]);
};

/** The crown of a draft, scaled. */
export function scaledCrown(draft: CrownDraft, [su, sv, sw]: CrownScale): CrownShape {
  const at = (p: CrownPoint): CrownPoint => [p[0] * su, p[1] * sv, p[2] * sw];
  return {
    ...draft,
    height: draft.height * sw,
    mesial: withRoot(draft.mesial, su),
    distal: withRoot(draft.distal, su),
    buccal: withRoot(draft.buccal, sv),
    palatal: withRoot(draft.palatal, sv),
    squareness: new Profile(draft.squareness),
    crests: draft.crests.map((c) => ({ ...c, from: at(c.from), to: at(c.to) })),
    fissures: draft.fissures.map((f) => ({ ...f, line: f.line.map(([u, v]) => [u * su, v * sv] as const) })),
    reliefs: draft.reliefs.map((r) => ({ ...r, u: r.u * su, reachU: r.reachU * su })),
    floor: draft.floor * sw,
    places: draft.places.map(([place, p]) => [place, at(p)] as const),
  };
}
