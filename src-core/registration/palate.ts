import { errorParts } from "../errors";
import { type JobControl, UNWATCHED } from "../job-control";
import {
  type ArchScan,
  HALF_TO_WARN,
  type HalvesPlan,
  type HalvesRegistration,
  registerHalves,
  type ScanPair,
} from "./halves-registration";
import { identityOf } from "./identity";
import { paintedPalateRegion, proposePalateRegion } from "./palate-region";

/** A half of the palate smaller than this is no palate, only the cuff of gingiva round the teeth, mm² (a convention). */
const LEAST_HALF = 100;

const PALATE: HalvesPlan = {
  of: "palate",
  whole: {
    side: "whole",
    region: "whole-palate",
    name: "The palate",
    label: "whole palate: shares the opening about evenly, gives no shares of sides",
    robustness: "even",
    quadrants: [1, 2, 5, 6],
  },
  right: {
    side: "right",
    region: "right-palate",
    name: "The right half of the palate",
    label: "right half of the palate: the left half and the teeth are seen relative to it",
    robustness: "tukey",
    quadrants: [1, 5],
  },
  left: {
    side: "left",
    region: "left-palate",
    name: "The left half of the palate",
    label: "left half of the palate: the right half and the teeth are seen relative to it",
    robustness: "tukey",
    quadrants: [2, 6],
  },
  identity: (halves) => identityOf(halves.map((half) => (half.state === "fitted" ? half.fit : half.error))),
  loose: ({ name }, { rms }) =>
    rms > HALF_TO_WARN
      ? `${name} fits to ${rms.toFixed(2)} mm only (${HALF_TO_WARN} mm is usual): its surface changed, or a scan is distorted.`
      : null,
  opened: "The palate opened, so as a whole it only fits",
};

/** The palates of two scans: the regions proposed on both, or why there is none on one. */
export function palatePair(before: ArchScan, after: ArchScan): ScanPair {
  return { before, after, regions: { before: regionOrError(before), after: regionOrError(after) } };
}

/** True where a scan's landmarks bound a palate of which the scan shows, or an appliance leaves, no more than a cuff of gingiva. */
export const lacksPalate = ({ regions }: ScanPair): boolean => [regions.before, regions.after].some(lacksPalateOn);

/** The same of one scan. */
export const lacksPalateOn = (region: ScanPair["regions"]["before"]): boolean =>
  "whole" in region && region.origin === "proposed" && Math.min(region.right.area, region.left.area) < LEAST_HALF;

/**
 * Registers the palate of two scans of one patient. Expansion splits it, so no rigid fit of the whole is valid across
 * the opening: see `registerHalves`. What is masked on either scan takes no part; a reference that the user painted on the
 * before scan stands in place of the proposed region.
 * @throws RapheError `cancelled`
 */
export function registerPalate(before: ArchScan, after: ArchScan, job: JobControl = UNWATCHED): HalvesRegistration {
  return registerPalatePair(palatePair(before, after), job);
}

/** The same from regions already proposed. */
export const registerPalatePair = (pair: ScanPair, job: JobControl): HalvesRegistration =>
  registerHalves(PALATE, pair, job);

function regionOrError(scan: ArchScan): ScanPair["regions"]["before"] {
  try {
    if (scan.refused !== undefined) return scan.refused;
    if (scan.painted !== undefined) return paintedPalateRegion(scan.surface, scan.toFrame, scan.painted);
    return proposePalateRegion(scan.surface, scan.toFrame, scan.marks, scan.name);
  } catch (thrown) {
    return errorParts(thrown, scan.name);
  }
}
