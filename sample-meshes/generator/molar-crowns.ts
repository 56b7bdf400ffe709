import { type CrownDraft, crest, fissure, relief } from "./crown-parts";
import type { CrownSize } from "./crown-sizes";

/**
 * An upper molar: four cusps, the oblique ridge from the mesiopalatal to the distobuccal cusp, central and distal
 * fossa, buccal and distopalatal groove. `reduction` 0 as the first, 1 as the second molar, whose distal cusps are
 * smaller and whose outline is narrower to distal.
 */
export function upperMolar(size: CrownSize, reduction: number): CrownDraft {
  const k = reduction;
  const h = size.height;
  const m = size.mesiodistal / 2;
  const n = size.mesiodistalAtNeck / 2;
  const b = size.buccopalatal / 2;
  const bn = size.buccopalatalAtNeck / 2;
  const x = size.mesiodistal / 10;
  const low = h - 7.5;
  const MB = [2.35 * x, 3.35, low + 7.4] as const;
  const DB = [-2.35 * x, 3.1 - 0.25 * k, low + 7.15 - 0.35 * k] as const;
  const MP = [1.75 * x, -3.05, low + 7.5] as const;
  const DP = [(-2.75 + 0.15 * k) * x, -3.2 + 0.35 * k, low + 6.55 - 0.75 * k] as const;
  const fossa = [0.25 * x, 0.25] as const;
  return {
    height: h,
    mesial: [
      [0, n],
      [0.3, m * 0.9],
      [0.55, m * 0.98],
      [0.7, m],
      [0.88, m * 0.96],
      [1, m * 0.9],
    ],
    distal: [
      [0, n],
      [0.3, m * 0.9],
      [0.5, m * 0.98],
      [0.65, m],
      [0.88, m * 0.96],
      [1, m * 0.9],
    ],
    buccal: [
      [0, bn],
      [0.12, b * 0.965],
      [0.27, b],
      [0.5, b * 0.965],
      [0.75, b * 0.9],
      [1, b * 0.8],
    ],
    palatal: [
      [0, bn],
      [0.25, b * 0.96],
      [0.47, b],
      [0.7, b * 0.95],
      [0.86, b * 0.87],
      [1, b * 0.78],
    ],
    squareness: [
      [-0.2, 0.2],
      [0.3, 0.45],
      [1, 0.55 - 0.1 * k],
    ],
    shear: 0.09 + 0.03 * k,
    bow: 0.012,
    crests: [
      crest(MB, [3.95 * x, 2.5, low + 6.0]),
      crest(MB, [0.35 * x, 3.6, low + 5.95]),
      crest(MB, [1.0 * x, 0.9, low + 5.35], 1.05, 1.0),
      crest(MB, [2.3 * x, 5.2, low + 5.6], 0.7, 0.8),
      crest(DB, [0.0, 3.55, low + 5.85]),
      crest(DB, [-4.0 * x, 2.0, low + 5.7]),
      crest(DB, [-2.2 * x, 5.0, low + 5.3], 0.7, 0.8),
      // oblique ridge
      crest(DB, [-1.0 * x, 0.2, low + 5.95 - 0.2 * k], 1.2, 0.95),
      crest([-1.0 * x, 0.2, low + 5.95 - 0.2 * k], [0.1 * x, -2.0, low + 6.5], 1.2, 0.95),
      crest([0.1 * x, -2.0, low + 6.5], MP, 1.2, 0.95),
      crest(MP, [3.75 * x, -1.9, low + 6.0]),
      crest(MP, [-0.55 * x, -3.55, low + 5.85]),
      crest(MP, [1.25 * x, -0.8, low + 5.5], 1.05, 1.05),
      crest(MP, [1.7 * x, -4.9, low + 5.7], 0.65, 0.9),
      crest(DP, [-1.45 * x, -3.65, low + 5.5 - 0.4 * k]),
      crest(DP, [-4.05 * x, -1.6, low + 5.55 - 0.2 * k]),
      crest(DP, [-2.4 * x, -1.1, low + 5.4 - 0.2 * k], 1.1, 0.95),
      // marginal ridges
      crest([3.95 * x, 2.5, low + 6.0], [3.75 * x, -1.9, low + 6.0], 1.0, 0.5),
      crest([-4.0 * x, 2.0, low + 5.7], [-4.05 * x, -1.6, low + 5.5 - 0.2 * k], 1.0, 0.5),
    ],
    fissures: [
      fissure([[2.75 * x, 0.2], [1.3 * x, 0.1], fossa], 0.5, 0.7),
      fissure([fossa, [0.1 * x, 1.8], [0.2 * x, 3.4], [0.2 * x, 5.6]], 0.5, 0.75),
      fissure([fossa, [-0.55 * x, -0.15], [-1.5 * x, -0.3]], 0.22, 0.55),
      fissure(
        [
          [-3.0 * x, 0.5],
          [-2.3 * x, -0.4],
          [-1.35 * x, -1.9],
          [-1.0 * x, -3.4],
          [-0.95 * x, -5.6],
        ],
        0.55,
        0.7,
      ),
      fissure(
        [
          [2.75 * x, 0.2],
          [3.3 * x, 1.4],
        ],
        0.35,
        0.55,
      ),
      fissure(
        [
          [2.75 * x, 0.2],
          [3.2 * x, -1.0],
        ],
        0.3,
        0.55,
      ),
      fissure(
        [
          [-3.0 * x, 0.5],
          [-3.3 * x, 1.5],
        ],
        0.3,
        0.5,
      ),
    ],
    reliefs: [
      relief(1, 0.25 * x, 0.75, 0.74, 0.42, -0.5),
      relief(1, 2.3 * x, 1.7, 0.6, 0.5, 0.16),
      relief(1, -2.3 * x, 1.7, 0.58, 0.5, 0.16),
      relief(-1, -0.75 * x, 0.8, 0.72, 0.42, -0.5 + 0.2 * k),
      relief(-1, 1.7 * x, 2.2, 0.55, 0.45, 0.12),
      relief(-1, 2.4 * x, 1.3, 0.52, 0.2, 0.35 * (1 - k)),
    ],
    floor: low + 4.75,
    edge: 0.85,
    gingiva: { buccal: 0.5, palatal: 0.7, mesialPapilla: 2.7, distalPapilla: 2.3, zenith: 0.05 },
    places: [
      ["mesiobuccal-cusp-tip", MB],
      ["distobuccal-cusp-tip", DB],
      ["mesiopalatal-cusp-tip", MP],
      ["distopalatal-cusp-tip", DP],
      ["central-fossa", [fossa[0], fossa[1], low + 4.6]],
      ["buccal-groove", [0.3 * x, b * 0.93, low + 7.5 * 0.6]],
      ["mesial-contact", [m, 0, h * 0.7]],
      ["distal-contact", [-m, 0, h * 0.65]],
    ],
  };
}

/** A lower molar: two lingual and two (with `distalCusp` three) buccal cusps around a long central fossa. */
export function lowerMolar(size: CrownSize, distalCusp: boolean): CrownDraft {
  const h = size.height;
  const m = size.mesiodistal / 2;
  const n = size.mesiodistalAtNeck / 2;
  const b = size.buccopalatal / 2;
  const bn = size.buccopalatalAtNeck / 2;
  const x = size.mesiodistal / 11;
  const y = size.buccopalatal / 10.5;
  const low = h - 7.5;
  const MB = [(distalCusp ? 3.0 : 2.6) * x, 2.5 * y, low + 7.1] as const;
  const DB = [(distalCusp ? -0.8 : -2.7) * x, 2.65 * y, low + 6.95] as const;
  const D = [-3.9 * x, 1.4 * y, low + 6.5] as const;
  const ML = [2.6 * x, -3.0 * y, low + 7.5] as const;
  const DL = [-2.5 * x, -3.0 * y, low + 7.3] as const;
  const valley = distalCusp ? 1.1 * x : 0;
  return {
    height: h,
    mesial: [
      [0, n],
      [0.3, m * 0.9],
      [0.6, m * 0.99],
      [0.7, m],
      [1, m * 0.9],
    ],
    distal: [
      [0, n],
      [0.3, m * 0.9],
      [0.55, m * 0.98],
      [0.66, m],
      [1, m * 0.88],
    ],
    buccal: [
      [0, bn],
      [0.12, b * 0.96],
      [0.28, b],
      [0.5, b * 0.94],
      [0.75, b * 0.8],
      [1, b * 0.64],
    ],
    palatal: [
      [0, bn],
      [0.3, b * 0.96],
      [0.5, b],
      [0.75, b * 0.95],
      [1, b * 0.82],
    ],
    squareness: [
      [-0.2, 0.2],
      [0.3, 0.5],
      [1, 0.6],
    ],
    shear: 0.03,
    bow: 0.012,
    crests: [
      crest(MB, [4.5 * x, 1.6 * y, low + 6.0]),
      crest(MB, [valley + 0.2, 2.9 * y, low + 5.9]),
      crest(MB, [1.2 * x, 0.4 * y, low + 5.1], 1.05, 1.0),
      crest(DB, [valley - 0.2, 2.9 * y, low + 5.9]),
      crest(DB, [(distalCusp ? -2.4 : -4.2) * x, (distalCusp ? 2.4 : 1.6) * y, low + 5.8]),
      crest(DB, [-0.7 * x, 0.4 * y, low + 5.1], 1.05, 1.0),
      ...(distalCusp
        ? [
            crest(D, [-2.6 * x, 2.3 * y, low + 5.75]),
            crest(D, [-4.6 * x, 0, low + 5.7]),
            crest(D, [-2.4 * x, 0.3 * y, low + 5.2], 0.8, 0.65),
          ]
        : [crest([-4.2 * x, 1.6 * y, low + 5.8], [-4.4 * x, 0, low + 5.7], 1, 0.5)]),
      crest(ML, [4.3 * x, -1.8 * y, low + 6.1]),
      crest(ML, [0.3, -3.4 * y, low + 6.0]),
      crest(ML, [1.0 * x, -0.5 * y, low + 5.1], 1.05, 1.0),
      crest(DL, [-0.3, -3.4 * y, low + 6.0]),
      crest(DL, [-4.4 * x, -1.7 * y, low + 5.8]),
      crest(DL, [-1.1 * x, -0.5 * y, low + 5.1], 1.05, 1.0),
      crest([4.5 * x, 1.6 * y, low + 6.0], [4.3 * x, -1.8 * y, low + 6.1], 1, 0.5),
      crest([-4.5 * x, 0, low + 5.7], [-4.4 * x, -1.7 * y, low + 5.8], 1, 0.5),
    ],
    fissures: [
      fissure(
        [
          [3.2 * x, 0],
          [0.3 * x, 0.05 * y],
          [-3.3 * x, -0.1 * y],
        ],
        0.5,
        0.7,
      ),
      fissure(
        [
          [valley * 0.6, 0],
          [valley, 1.6 * y],
          [valley, 5.4 * y],
        ],
        0.5,
        0.7,
      ),
      fissure(
        [
          [0, 0],
          [0, -1.8 * y],
          [0, -5.4 * y],
        ],
        0.45,
        0.7,
      ),
      ...(distalCusp
        ? [
            fissure(
              [
                [-1.5 * x, 0],
                [-2.4 * x, 1.5 * y],
                [-2.8 * x, 5 * y],
              ],
              0.45,
              0.65,
            ),
          ]
        : []),
      fissure(
        [
          [3.2 * x, 0],
          [3.8 * x, 1.1 * y],
        ],
        0.35,
        0.5,
      ),
      fissure(
        [
          [3.2 * x, 0],
          [3.7 * x, -1.1 * y],
        ],
        0.35,
        0.5,
      ),
    ],
    reliefs: [
      relief(1, valley, 0.8, 0.72, 0.4, -0.45),
      ...(distalCusp ? [relief(1, -2.7 * x, 0.75, 0.75, 0.35, -0.4)] : []),
      relief(-1, 0, 0.8, 0.8, 0.32, -0.4),
    ],
    floor: low + 4.7,
    edge: 0.85,
    gingiva: { buccal: 0.6, palatal: 0.7, mesialPapilla: 2.7, distalPapilla: 2.3, zenith: 0 },
    places: [
      ["mesiobuccal-cusp-tip", MB],
      ["distobuccal-cusp-tip", DB],
      ...(distalCusp ? [["distal-cusp-tip", D] as const] : []),
      ["mesiolingual-cusp-tip", ML],
      ["distolingual-cusp-tip", DL],
      ["central-fossa", [0.2, 0, low + 4.6]],
      ["buccal-groove", [valley, b * 0.85, low + 4.5]],
      ["mesial-contact", [m, 0, h * 0.7]],
      ["distal-contact", [-m, 0, h * 0.66]],
    ],
  };
}
