import type { ErrorParts } from "../errors";

/** Whether the two scans show one patient's palate. */
export interface Identity {
  /** `unknown` where no half could be compared; `mirrored` where one scan is the mirror image of the other's arch. */
  readonly verdict: "same" | "doubtful" | "different" | "mirrored" | "unknown";
  readonly sentence: string;
}

/** Where nothing can be registered, because the scans as they are do not belong together. */
export const belongNot = ({ verdict }: Identity): boolean => verdict === "different" || verdict === "mirrored";

/** One scan is the other's mirror image. */
export const MIRRORED: Identity = {
  verdict: "mirrored",
  sentence:
    "One of the two scans is a mirror image: reflected, it fits the other clearly better than as it is. Export that scan again without mirroring and place its landmarks anew.",
};

/** The same, where only the shapes of the whole arches tell it. */
export const MIRRORED_SHAPE =
  "One of the two scans may be a mirror image: reflected, its arch fits the other better than as it is. Export that scan again without mirroring; the cusp tips of two pairs of teeth on both scans would tell for certain";

/** What is known of one half: its fit, or why there is none. */
export type HalfCompared =
  | {
      readonly fit: { readonly rmsOfAll: number };
      readonly disagreement: number | null;
      readonly commonRelief: number;
    }
  | ErrorParts;

/**
 * Root mean square distance of two scans of one palate after registration. 0.43 mm: threshold between same and other
 * palate after slow expansion (Lanteri et al. 2020, Sci Rep 10:2676); about 0.6 mm: upper end of the limits found after
 * rapid expansion (0.42 to 0.61 mm). They serve to tell patients apart, not as a measure of accuracy.
 */
const DOUBTFUL = 0.43;
const DIFFERENT = 0.6;
/**
 * Vaults of different people can be laid on each other more closely than that, but their relief does not match, and
 * before on after and after on before end in different places. Above 0.1 mm a half is therefore taken as another's where
 * less than half of its relief is common or the two ways end more than 0.5 mm apart, and as doubtful where less than 70 %
 * is common or they end more than 0.2 mm apart (conventions, no source).
 */
const LOOSE = 0.1;
const OTHER = { commonRelief: 0.5, disagreement: 0.5 };
const UNSURE = { commonRelief: 0.7, disagreement: 0.2 };

function beyond(half: HalfCompared, rms: number, limits: typeof OTHER): boolean {
  if (!("fit" in half)) return half.code === "no-region-fits";
  if (half.fit.rmsOfAll > rms) return true;
  const apart = half.disagreement ?? Infinity;
  return half.fit.rmsOfAll > LOOSE && (half.commonRelief < limits.commonRelief || apart > limits.disagreement);
}

/** The verdict from both halves, each registered by itself. */
export function identityOf(halves: readonly HalfCompared[]): Identity {
  const distances = halves.flatMap((half) => ("fit" in half ? [half.fit.rmsOfAll] : []));
  if (halves.every((half) => beyond(half, DIFFERENT, OTHER))) {
    return {
      verdict: "different",
      sentence:
        "No region fits: neither half of the palate is the same on both scans. They may show different patients, or one scan may be mirrored or of the lower arch. Take two upper scans of one patient; if they are, check the landmarks and paint what an appliance covers.",
    };
  }
  if (distances.length === 0) {
    return {
      verdict: "unknown",
      sentence: "The palates could not be compared, so the patient's identity is not checked.",
    };
  }
  const worst = Math.max(...distances);
  if (halves.some((half) => beyond(half, DOUBTFUL, UNSURE))) {
    return {
      verdict: "doubtful",
      sentence: `The palates differ by up to ${worst.toFixed(2)} mm (root mean square) or match in one half only: it is doubtful that they are one patient's.`,
    };
  }
  return { verdict: "same", sentence: `The palates agree to ${worst.toFixed(2)} mm (root mean square).` };
}

/**
 * Crowns of one patient move against each other as teeth do, and other people's are much alike: above this the crowns of
 * a side (root mean square, mm) may have done the one or be the other, and nothing tells which (a convention, no source).
 */
const CROWNS_DOUBTFUL = 0.3;

/** The verdict from both groups of crowns, where no palate tells more. */
export function crownIdentityOf(groups: readonly HalfCompared[]): Identity {
  const distances = groups.flatMap((group) => ("fit" in group ? [group.fit.rmsOfAll] : []));
  if (groups.every((group) => ("fit" in group ? group.fit.rmsOfAll > DIFFERENT : group.code === "no-region-fits"))) {
    return {
      verdict: "different",
      sentence:
        "No group of crowns fits: neither side is the same on both scans. They may show different patients, or one scan may be mirrored or of the lower arch. Take two upper scans of one patient; if they are, check the landmarks.",
    };
  }
  if (distances.length === 0) {
    return {
      verdict: "unknown",
      sentence: "The crowns could not be compared, so the patient's identity is not checked.",
    };
  }
  const worst = Math.max(...distances);
  if (worst > CROWNS_DOUBTFUL || distances.length < groups.length) {
    return {
      verdict: "doubtful",
      sentence: `The crowns of a side agree to ${worst.toFixed(2)} mm only (root mean square) and no palate tells more: single teeth moved that far, or the scans are two patients' or not both of the upper arch. Scans that show the palate would tell.`,
    };
  }
  return { verdict: "same", sentence: `The crowns agree to ${worst.toFixed(2)} mm (root mean square).` };
}
