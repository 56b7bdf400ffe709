import { distance } from "../geometry/vector";
import { crownSize } from "./crown-sizes";
import { crownTop, type Landmark } from "./landmark";
import { kindOf, type ToothNumber } from "./teeth";

/** An upper tooth without any landmark whose neighbours stand side by side. */
export interface ClosedSpace {
  readonly tooth: ToothNumber;
  readonly mesial: ToothNumber;
  readonly distal: ToothNumber;
}

/** Lateral incisor to second premolar: what is extracted, or never forms, before an expansion. */
const ASKED: readonly ToothNumber[] = [12, 13, 14, 15, 22, 23, 24, 25];
/** How far a molar's top, its mesiobuccal cusp tip, lies mesial of the crown's middle, as a share of the crown's width. */
const MOLAR_TOP_MESIAL = 0.25;

/**
 * Upper teeth whose space may be closed: an extraction leaves no gap, so a scan does not show it and it has to be asked.
 * Nothing is marked on the tooth or its deciduous predecessor, and the tops of its neighbours are nearer to each
 * other than half of an average crown more than they are where the neighbours touch. Average crown widths only decide
 * whether to ask.
 * @param landmarks of one scan, mm in any frame
 */
export function closedSpaces(landmarks: readonly Landmark[]): ClosedSpace[] {
  const isMarked = (tooth: ToothNumber) => landmarks.some((mark) => mark.tooth === tooth);
  return ASKED.filter((tooth) => !isMarked(tooth) && !isMarked(tooth + 40)).flatMap((tooth) => {
    const [mesial, distal] = [tooth - 1, tooth + 1];
    const [front, back] = [mesial, distal].map((one) => topOf(landmarks, one));
    if (front === undefined || back === undefined) return [];
    const touching = front.toDistal + back.toMesial;
    const closed = distance(front.at, back.at) < touching + crownSize(tooth).mesiodistal / 2;
    return closed ? [{ tooth, mesial, distal }] : [];
  });
}

/** A crown's top and how far its contacts lie from it, mm. */
function topOf(landmarks: readonly Landmark[], tooth: ToothNumber) {
  const mark = landmarks.find((one) => one.tooth === tooth && one.place === crownTop(tooth));
  if (mark === undefined) return undefined;
  const mesial = kindOf(tooth) === "molar" ? MOLAR_TOP_MESIAL : 0;
  const { mesiodistal } = crownSize(tooth);
  return { at: mark.at, toMesial: (0.5 - mesial) * mesiodistal, toDistal: (0.5 + mesial) * mesiodistal };
}
