/** Average size of a permanent crown, mm. */
export interface CrownSize {
  /** Cusp tip or incisal edge to the neck, buccal side. */
  readonly height: number;
  readonly mesiodistal: number;
  readonly mesiodistalAtNeck: number;
  /** Buccal to palatal (upper) or lingual (lower). */
  readonly buccopalatal: number;
  readonly buccopalatalAtNeck: number;
}

const size = (
  height: number,
  mesiodistal: number,
  mesiodistalAtNeck: number,
  buccopalatal: number,
  buccopalatalAtNeck: number,
): CrownSize => ({ height, mesiodistal, mesiodistalAtNeck, buccopalatal, buccopalatalAtNeck });

/**
 * Average crown sizes by place from the midline (1 = central incisor to 7 = second molar), after the table of
 * measurements of the permanent teeth in Wheeler's Dental Anatomy, Physiology and Occlusion. From memory; they only
 * give the invented teeth a plausible size, no measurement rests on them.
 */
export const UPPER_CROWN_SIZES: readonly CrownSize[] = [
  size(10.5, 8.5, 7.0, 7.0, 6.0),
  size(9.0, 6.5, 5.0, 6.0, 5.0),
  size(10.0, 7.5, 5.5, 8.0, 7.0),
  size(8.5, 7.0, 5.0, 9.0, 8.0),
  size(8.5, 7.0, 5.0, 9.0, 8.0),
  size(7.5, 10.0, 8.0, 11.0, 10.0),
  size(7.0, 9.0, 7.0, 11.0, 10.0),
];

export const LOWER_CROWN_SIZES: readonly CrownSize[] = [
  size(9.0, 5.0, 3.5, 6.0, 5.3),
  size(9.5, 5.5, 4.0, 6.5, 5.8),
  size(11.0, 7.0, 5.5, 7.5, 7.0),
  size(8.5, 7.0, 5.0, 7.5, 6.5),
  size(8.0, 7.0, 5.0, 8.0, 7.0),
  size(7.5, 11.0, 9.0, 10.5, 9.0),
  size(7.0, 10.5, 8.0, 10.0, 9.0),
];
