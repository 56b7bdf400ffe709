import { type CrownDraft, crest, fissure, relief } from "./crown-parts";
import type { CrownSize } from "./crown-sizes";

interface PremolarKind {
  /** How much lower the palatal (lingual) cusp is, mm. */
  readonly palatalDrop: number;
  /** Where the cusp tips stand across the crown, as shares of the half thickness. */
  readonly buccalTip: number;
  readonly palatalTip: number;
  /** How far the wall leans in over the buccal cusp, as a share of the half thickness. */
  readonly lean: number;
}

export const UPPER_FIRST_PREMOLAR: PremolarKind = { palatalDrop: 1.0, buccalTip: 0.6, palatalTip: 0.56, lean: 0.74 };
export const UPPER_SECOND_PREMOLAR: PremolarKind = { palatalDrop: 0.45, buccalTip: 0.58, palatalTip: 0.56, lean: 0.74 };
export const LOWER_FIRST_PREMOLAR: PremolarKind = { palatalDrop: 3.0, buccalTip: 0.26, palatalTip: 0.62, lean: 0.55 };
export const LOWER_SECOND_PREMOLAR: PremolarKind = { palatalDrop: 1.4, buccalTip: 0.4, palatalTip: 0.58, lean: 0.62 };

/** A premolar: buccal and palatal cusp, their triangular ridges, marginal ridges, a central groove between two pits. */
export function premolar(size: CrownSize, kind: PremolarKind): CrownDraft {
  const h = size.height;
  const m = size.mesiodistal / 2;
  const n = size.mesiodistalAtNeck / 2;
  const b = size.buccopalatal / 2;
  const bn = size.buccopalatalAtNeck / 2;
  const B = b * kind.buccalTip;
  const P = -b * kind.palatalTip;
  const low = h - kind.palatalDrop;
  const groove = (B + P) / 2 - 0.1 * b;
  const pit = Math.min(h, low) - 2.0;
  const rim = Math.min(h - 1.9, low - 0.75);
  return {
    height: h,
    mesial: [
      [0, n],
      [0.3, m * 0.88],
      [0.55, m * 0.98],
      [0.68, m],
      [0.85, m * 0.95],
      [1, m * 0.86],
    ],
    distal: [
      [0, n],
      [0.3, m * 0.89],
      [0.52, m * 0.98],
      [0.64, m],
      [0.85, m * 0.95],
      [1, m * 0.85],
    ],
    buccal: [
      [0, bn],
      [0.15, b * 0.96],
      [0.3, b],
      [0.5, b * 0.97],
      [0.75, b * (0.5 + 0.52 * kind.lean)],
      [1, b * kind.lean],
    ],
    palatal: [
      [0, bn],
      [0.25, b * 0.95],
      [0.48, b],
      [0.65, b * 0.95],
      [0.85, b * 0.84],
      [1, b * 0.7],
    ],
    squareness: [
      [0, 0.05],
      [0.4, 0.3],
      [1, 0.4],
    ],
    shear: 0.02,
    bow: 0.02,
    crests: [
      crest([0.05 * m, B, h], [m * 0.84, B - 0.22 * b, h - 1.75], 1.2, 0.95),
      crest([0.05 * m, B, h], [-m * 0.86, B - 0.22 * b, h - 1.95], 1.2, 0.95),
      crest([0.05 * m, B, h], [0, groove + 0.12 * b, pit + 0.25], 1.05, 0.95),
      crest([0.05 * m, B, h], [0, b * 0.95, h - 2.2], 0.8, 0.8),
      crest([0.14 * m, P, low], [m * 0.78, P + 0.12 * b, rim], 1.2, 0.95),
      crest([0.14 * m, P, low], [-m * 0.8, P + 0.12 * b, rim - 0.15], 1.2, 0.95),
      crest([0.14 * m, P, low], [0.05 * m, groove - 0.12 * b, pit + 0.25], 1.05, 0.95),
      crest([m * 0.82, B - 0.22 * b, rim + 0.1], [m * 0.78, P + 0.12 * b, rim], 1.0, 0.45),
      crest([-m * 0.84, B - 0.22 * b, rim + 0.05], [-m * 0.8, P + 0.12 * b, rim - 0.1], 1.0, 0.45),
    ],
    fissures: [
      fissure(
        [
          [m * 0.52, groove],
          [0, groove - 0.02 * b],
          [-m * 0.54, groove],
        ],
        0.55,
        0.6,
      ),
      fissure(
        [
          [m * 0.52, groove],
          [m * 0.62, groove + 0.32 * b],
        ],
        0.35,
        0.5,
      ),
      fissure(
        [
          [m * 0.52, groove],
          [m * 0.62, groove - 0.28 * b],
        ],
        0.3,
        0.5,
      ),
      fissure(
        [
          [-m * 0.54, groove],
          [-m * 0.64, groove + 0.32 * b],
        ],
        0.35,
        0.5,
      ),
      fissure(
        [
          [-m * 0.54, groove],
          [-m * 0.64, groove - 0.28 * b],
        ],
        0.3,
        0.5,
      ),
    ],
    reliefs: [
      relief(1, 0, m * 0.5, 0.65, 0.45, 0.22),
      relief(1, m * 0.6, m * 0.28, 0.78, 0.3, -0.14),
      relief(1, -m * 0.6, m * 0.28, 0.78, 0.3, -0.16),
    ],
    floor: pit - 0.4,
    edge: 0.7,
    gingiva: { buccal: 0.7, palatal: 0.9, mesialPapilla: 3.3, distalPapilla: 3.0, zenith: -0.05 },
    places: [
      ["buccal-cusp-tip", [0.05 * m, B, h]],
      ["palatal-cusp-tip", [0.14 * m, P, low]],
      ["mesial-contact", [m, 0, h * 0.68]],
      ["distal-contact", [-m, 0, h * 0.64]],
    ],
  };
}
