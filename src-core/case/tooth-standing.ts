import { isDeciduous } from "../arch/teeth";
import type { CaseDocument } from "./case-document";
import { type Timepoint, type ToothState, toothState } from "./timepoint";

/** Why a tooth does not stand on a scan. */
export interface ToothAway {
  readonly tooth: number;
  /** `exchanged`: its deciduous predecessor or permanent successor stands there. */
  readonly why: "missing" | "space-closed" | "exchanged";
  /** 'tooth 15 is missing on the after scan' */
  readonly text: string;
}

const UPPER: readonly number[] = [1, 2].flatMap((quadrant) => [1, 2, 3, 4, 5, 6, 7, 8].map((n) => 10 * quadrant + n));
const UPPER_DECIDUOUS: readonly number[] = [5, 6].flatMap((quadrant) => [1, 2, 3, 4, 5].map((n) => 10 * quadrant + n));

/** The deciduous tooth before a permanent one and the other way round: 53 and 13; null for molars. */
export function exchangePartner(tooth: number): number | null {
  if (isDeciduous(tooth)) return tooth - 40;
  return tooth % 10 <= 5 ? tooth + 40 : null;
}

/**
 * The upper teeth that do not stand on a scan: as stated (`deciduous` of 13 means that 53 stands there), and where
 * nothing is stated, as the landmarks tell, since of a deciduous tooth and its successor only one is there.
 */
export function teethAway(document: Pick<CaseDocument, "timepoints">, timepoint: Timepoint): ToothAway[] {
  return [...UPPER, ...UPPER_DECIDUOUS].flatMap((tooth) => {
    const why = whyAway(document, timepoint, tooth);
    return why === null ? [] : [{ tooth, why, text: wordsOf(tooth, why, timepoint.name) }];
  });
}

const stated = (timepoint: Timepoint, tooth: number): ToothState | undefined =>
  timepoint.details.teeth.find((one) => one.tooth === tooth)?.state;

const isMarked = ({ landmarks }: Timepoint, tooth: number): boolean => landmarks.some((mark) => mark.tooth === tooth);

function whyAway(
  { timepoints }: Pick<CaseDocument, "timepoints">,
  timepoint: Timepoint,
  tooth: number,
): ToothAway["why"] | null {
  const own = stated(timepoint, tooth);
  if (own === "missing") return "missing";
  if (own === "extracted-space-closed") return "space-closed";
  if (own === "deciduous") return isDeciduous(tooth) ? null : "exchanged";
  if (own !== undefined) return null;
  const partner = exchangePartner(tooth);
  if (partner === null) return null;
  const other = stated(timepoint, partner);
  if (isDeciduous(tooth)) {
    if (other === "deciduous") return null;
    if (other === "missing" || other === "extracted-space-closed") return "missing";
    if (other !== undefined) return "exchanged";
    if (timepoints.some((one) => stated(one, partner) === "deciduous")) return "exchanged";
  }
  return isMarked(timepoint, partner) && !isMarked(timepoint, tooth) ? "exchanged" : null;
}

function wordsOf(tooth: number, why: ToothAway["why"], scan: string): string {
  switch (why) {
    case "missing":
      return `tooth ${tooth} is missing on the ${scan} scan`;
    case "space-closed":
      return `tooth ${tooth} was extracted and its space is closed on the ${scan} scan`;
    case "exchanged":
      return isDeciduous(tooth)
        ? `tooth ${tooth} has exfoliated on the ${scan} scan, ${exchangePartner(tooth)} stands there`
        : `tooth ${tooth} is not there yet on the ${scan} scan, ${exchangePartner(tooth)} stands there`;
  }
}

/** Whether a tooth is stated to be erupting: its height is not that of a tooth that is out. */
export const isErupting = (timepoint: Pick<Timepoint, "details">, tooth: number): boolean =>
  toothState(timepoint, tooth) === "erupting";
