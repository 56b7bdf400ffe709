import { isDeciduous } from "./teeth";

/** Size of an upper crown, mm. */
export interface CrownSize {
  /** From mesial to distal contact. */
  readonly mesiodistal: number;
  /** From the buccal to the palatal bulge. */
  readonly buccopalatal: number;
  /** From gingival margin to cusp tip or edge, on the palatal and on the buccal side. */
  readonly palatalHeight: number;
  readonly buccalHeight: number;
}

const size = (mesiodistal: number, buccopalatal: number, palatalHeight: number, buccalHeight: number): CrownSize => ({
  mesiodistal,
  buccopalatal,
  palatalHeight,
  buccalHeight,
});

/** Average upper crowns by place in the quadrant (from memory of handbook tables: a first guess, never a reading). */
const PERMANENT: readonly CrownSize[] = [
  size(8.5, 7, 8, 10),
  size(6.5, 6, 7, 9),
  size(7.5, 8, 8, 9.5),
  size(7, 9, 6, 8),
  size(7, 9, 6, 7.5),
  size(10, 11, 5, 7),
  size(9, 11, 5, 6.5),
  size(8.5, 10, 4.5, 6),
];
const DECIDUOUS: readonly CrownSize[] = [
  size(6.5, 5, 5, 6),
  size(5.1, 4, 5, 5.6),
  size(7, 7, 5.5, 6.5),
  size(7.3, 8.5, 4, 5),
  size(8.2, 10, 4, 5.7),
];

/** The average crown of an upper tooth. */
export function crownSize(tooth: number): CrownSize {
  return (isDeciduous(tooth) ? DECIDUOUS : PERMANENT)[(tooth % 10) - 1]!;
}
