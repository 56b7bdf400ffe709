import type { ErrorParts } from "../errors";

/** Whether the two scans show one patient's palate. */
export interface Identity {
  /** `unknown` where no half could be compared. */
  readonly verdict: "same" | "doubtful" | "different" | "unknown";
  readonly sentence: string;
}

/** What is known of one half: its fit, or why there is none. */
export type HalfCompared =
  | { readonly fit: { readonly rmsOfAll: number }; readonly disagreement: number | null }
  | ErrorParts;

/**
 * Root mean square distance of two scans of one palate after registration. 0.43 mm: threshold between same and other
 * palate after slow expansion (Lanteri et al. 2020, Sci Rep 10:2676); about 0.6 mm: upper end of the limits found after
 * rapid expansion (0.42 to 0.61 mm). They serve to tell patients apart, not as a measure of accuracy.
 */
const DOUBTFUL = 0.43;
const DIFFERENT = 0.6;
/**
 * Two smooth vaults of different people can be laid on each other more closely than that, but nowhere firmly: before on
 * after and after on before then end in different places. Such a half does not fit where both limits are exceeded, mm
 * (a convention, no source).
 */
const LOOSE = 0.1;
const ELSEWHERE = 0.5;

const unlike = (half: HalfCompared): boolean =>
  "fit" in half
    ? half.fit.rmsOfAll > DIFFERENT || (half.fit.rmsOfAll > LOOSE && (half.disagreement ?? Infinity) > ELSEWHERE)
    : half.code === "no-region-fits";

/** The verdict from both halves, each registered by itself. */
export function identityOf(halves: readonly HalfCompared[]): Identity {
  const distances = halves.flatMap((half) => ("fit" in half ? [half.fit.rmsOfAll] : []));
  if (halves.every(unlike)) {
    return {
      verdict: "different",
      sentence:
        "No region fits: neither half of the palate is the same on both scans. They may show different patients, or one scan may be mirrored or of the lower arch.",
    };
  }
  if (distances.length === 0) {
    return {
      verdict: "unknown",
      sentence: "The palates could not be compared, so the patient's identity is not checked.",
    };
  }
  const worst = Math.max(...distances);
  if (halves.some(unlike)) {
    return {
      verdict: "doubtful",
      sentence: "Only one half of the palate is the same on both scans: it is doubtful that they are one patient's.",
    };
  }
  if (worst > DOUBTFUL) {
    return {
      verdict: "doubtful",
      sentence: `The palates differ by ${worst.toFixed(2)} mm (root mean square); above ${DOUBTFUL} mm it is doubtful that they are one patient's.`,
    };
  }
  return { verdict: "same", sentence: `The palates agree to ${worst.toFixed(2)} mm (root mean square).` };
}
