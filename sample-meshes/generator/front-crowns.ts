import { type CrownDraft, crest, relief } from "./crown-parts";
import type { CrownSize } from "./crown-sizes";

/**
 * An upper incisor: straight incisal edge, rounder to distal, convex labial side, cingulum, marginal ridges and a
 * hollow palatal side. `roundness` 0 as a central, 1 as a lateral incisor.
 */
export function upperIncisor(size: CrownSize, roundness: number): CrownDraft {
  const h = size.height;
  const m = size.mesiodistal / 2;
  const n = size.mesiodistalAtNeck / 2;
  const v = size.buccopalatal / 7;
  const r = roundness;
  const edge = 0.35 * v;
  return {
    height: h,
    mesial: [
      [0, n * 0.93],
      [0.3, m * 0.9],
      [0.6, m * 0.97],
      [0.82, m],
      [0.95, m * (0.98 - 0.05 * r)],
      [1.1, m * (0.93 - 0.13 * r)],
    ],
    distal: [
      [0, n * 0.93],
      [0.3, m * 0.9],
      [0.55, m * 0.98],
      [0.72, m],
      [0.88, m * (0.96 - 0.05 * r)],
      [1.0, m * (0.88 - 0.12 * r)],
      [1.1, m * (0.8 - 0.18 * r)],
    ],
    buccal: [
      [0, 2.95 * v],
      [0.18, 3.4 * v],
      [0.4, 3.25 * v],
      [0.6, 2.75 * v],
      [0.8, 1.92 * v],
      [1, 0.92 * v],
    ],
    palatal: [
      [0, 2.95 * v],
      [0.16, 3.5 * v],
      [0.3, 3.15 * v],
      [0.45, 2.15 * v],
      [0.6, 1.35 * v],
      [0.8, 0.68 * v],
      [1, 0.3 * v],
    ],
    squareness: [
      [0, 0],
      [0.25, 0.25],
      [0.6, 0.75],
      [1, 0.9],
    ],
    shear: 0,
    bow: 0.022 + 0.012 * r,
    crests: [
      crest([m * 0.86, edge, h - 0.1 - 0.25 * r], [0.2 * m, edge, h], 0.5, 0.35),
      crest([0.2 * m, edge, h], [-m * 0.72, edge, h - 0.25 - 0.45 * r], 0.5, 0.35),
    ],
    fissures: [],
    reliefs: [
      relief(-1, 0, m * 0.75, 0.52, 0.36, -0.22 + 0.06 * r),
      relief(-1, m * 0.8, m * 0.34, 0.52, 0.4, 0.16),
      relief(-1, -m * 0.8, m * 0.34, 0.5, 0.38, 0.16),
      relief(-1, 0.1 * m, m * 0.4, 0.2, 0.18, 0.25),
      relief(1, m * 0.34, m * 0.22, 0.82, 0.34, -0.09),
      relief(1, -m * 0.34, m * 0.22, 0.82, 0.34, -0.09),
    ],
    floor: h - 2.2,
    edge: 0.55,
    gingiva: { buccal: 0.9, palatal: 1.5, mesialPapilla: 4.6, distalPapilla: 4.2, zenith: -0.12 },
    places: [
      ["incisal-edge-middle", [0, edge, h]],
      ["mesial-contact", [m, 0, h * 0.82]],
      ["distal-contact", [-m, 0, h * 0.72]],
    ],
  };
}

/** An upper or lower canine: one cusp, a longer distal edge, labial ridge, cingulum, palatal ridge between two hollows. */
export function canine(size: CrownSize, cingulum: number): CrownDraft {
  const h = size.height;
  const m = size.mesiodistal / 2;
  const n = size.mesiodistalAtNeck / 2;
  const v = size.buccopalatal / 8;
  const edge = 0.75 * v;
  const tip = 0.08 * m;
  return {
    height: h,
    mesial: [
      [0, n],
      [0.3, m * 0.88],
      [0.55, m * 0.97],
      [0.68, m],
      [0.82, m * 0.93],
      [1, m * 0.74],
    ],
    distal: [
      [0, n],
      [0.3, m * 0.9],
      [0.5, m * 0.98],
      [0.6, m],
      [0.75, m * 0.95],
      [1, m * 0.7],
    ],
    buccal: [
      [0, 3.45 * v],
      [0.2, 3.95 * v],
      [0.4, 3.85 * v],
      [0.6, 3.4 * v],
      [0.8, 2.6 * v],
      [1, 1.5 * v],
    ],
    palatal: [
      [0, 3.4 * v],
      [0.16, (3.6 + 0.45 * cingulum) * v],
      [0.32, (3.2 + 0.4 * cingulum) * v],
      [0.5, 2.5 * v],
      [0.7, 1.6 * v],
      [0.85, 1.0 * v],
      [1, 0.6 * v],
    ],
    squareness: [
      [0, 0],
      [0.3, 0.15],
      [0.7, 0.35],
      [1, 0.4],
    ],
    shear: 0,
    bow: 0.035,
    crests: [
      crest([tip, edge, h], [m * 0.88, edge - 0.35, h - 2.7], 1.1, 0.75),
      crest([tip, edge, h], [-m * 0.9, edge - 0.35, h - 3.3], 1.1, 0.75),
      crest([tip, edge, h], [tip, -2.2 * v, h - 5.6], 0.8, 0.9),
      crest([tip, edge, h], [tip, 2.4 * v, h - 3.0], 0.8, 0.9),
    ],
    fissures: [],
    reliefs: [
      relief(-1, m * 0.42, m * 0.38, 0.52, 0.32, -0.26),
      relief(-1, -m * 0.42, m * 0.38, 0.5, 0.32, -0.26),
      relief(-1, 0, m * 0.34, 0.5, 0.42, 0.16),
      relief(-1, m * 0.85, m * 0.25, 0.55, 0.35, 0.12),
      relief(-1, -m * 0.85, m * 0.25, 0.5, 0.35, 0.12),
      relief(-1, 0, m * 0.5, 0.2, 0.18, 0.25 * cingulum),
      relief(1, tip, m * 0.5, 0.65, 0.5, 0.28),
      relief(1, m * 0.6, m * 0.3, 0.72, 0.3, -0.12),
      relief(1, -m * 0.6, m * 0.3, 0.7, 0.3, -0.14),
    ],
    floor: h - 5.8,
    edge: 0.6,
    gingiva: { buccal: 0.6, palatal: 1.4, mesialPapilla: 4.0, distalPapilla: 3.9, zenith: -0.05 },
    places: [
      ["cusp-tip", [tip, edge, h]],
      ["mesial-contact", [m, 0, h * 0.68]],
      ["distal-contact", [-m, 0, h * 0.6]],
    ],
  };
}

/** A lower incisor: narrow, nearly symmetrical, straight edge, faint cingulum. */
export function lowerIncisor(size: CrownSize): CrownDraft {
  const h = size.height;
  const m = size.mesiodistal / 2;
  const n = size.mesiodistalAtNeck / 2;
  const v = size.buccopalatal / 6;
  const edge = 0.15 * v;
  return {
    height: h,
    mesial: [
      [0, n],
      [0.35, m * 0.84],
      [0.7, m * 0.96],
      [0.9, m],
      [1.1, m * 0.95],
    ],
    distal: [
      [0, n],
      [0.35, m * 0.84],
      [0.7, m * 0.97],
      [0.87, m],
      [1.1, m * 0.9],
    ],
    buccal: [
      [0, 2.6 * v],
      [0.18, 2.9 * v],
      [0.45, 2.5 * v],
      [0.75, 1.6 * v],
      [1, 0.85 * v],
    ],
    palatal: [
      [0, 2.6 * v],
      [0.16, 2.95 * v],
      [0.35, 2.4 * v],
      [0.6, 1.3 * v],
      [0.8, 0.8 * v],
      [1, 0.5 * v],
    ],
    squareness: [
      [0, 0],
      [0.3, 0.2],
      [0.7, 0.7],
      [1, 0.85],
    ],
    shear: 0,
    bow: 0.02,
    crests: [crest([m * 0.85, edge, h], [-m * 0.82, edge, h - 0.15], 0.5, 0.35)],
    fissures: [],
    reliefs: [
      relief(-1, 0, m * 0.75, 0.58, 0.36, -0.28),
      relief(-1, m * 0.85, m * 0.35, 0.55, 0.4, 0.12),
      relief(-1, -m * 0.85, m * 0.35, 0.55, 0.4, 0.12),
    ],
    floor: h - 2,
    edge: 0.5,
    gingiva: { buccal: 0.8, palatal: 1.1, mesialPapilla: 4, distalPapilla: 3.8, zenith: 0 },
    places: [
      ["incisal-edge-middle", [0, edge, h]],
      ["mesial-contact", [m, 0, h * 0.88]],
      ["distal-contact", [-m, 0, h * 0.86]],
    ],
  };
}
