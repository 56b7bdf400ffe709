import { type ErrorParts, errorParts, RapheError } from "../errors";
import { apply, invert, type RigidTransform } from "../geometry/rigid-transform";
import { distance, type Vector3 } from "../geometry/vector";
import { type JobControl, partOf, UNWATCHED } from "../job-control";
import { vertexCount } from "../mesh/triangle-mesh";
import type { RobustnessMode } from "./icp-request";
import { type Identity, identityOf } from "./identity";
import { landmarkStart, type Mark } from "./landmark-start";
import { type PalateRegion, proposePalateRegion } from "./palate-region";
import type { RegistrationSurface } from "./registration-surface";
import { reliefOf } from "./relief";
import { assessFit, type RigidFit } from "./rigid-fit";
import { rigidIcp } from "./rigid-icp";
import { sharedMotion } from "./shared-motion";

/** One scan of an upper arch with what is known of it. */
export interface PalateScan {
  readonly surface: RegistrationSurface;
  /** File coordinates (mm) → arch frame. */
  readonly toFrame: RigidTransform;
  /** Landmarks, mm in file coordinates. */
  readonly marks: readonly Mark[];
  /** The timepoint's name, for errors. */
  readonly name: string;
}

export type PalatePart = "whole-palate" | "right-palate" | "left-palate";

/** One part of the palate registered before → after. */
export interface PalateFit {
  readonly region: PalatePart;
  /** What the fit is and what it does not say, for screen and sheet. */
  readonly label: string;
  /** Before → after file coordinates, from the before scan's region. */
  readonly fit: RigidFit;
  /** After → before file coordinates: for overlay and distance map. */
  readonly afterToBefore: RigidTransform;
  /**
   * Root mean square distance between this fit and the one made the other way round (from the after scan's region), over
   * the before scan's region, mm; null where the other way gave none.
   */
  readonly disagreement: number | null;
  /**
   * How much of the region's relief (see `reliefOf`) both scans have in common: 1 − (distance left over / relief)², by
   * root mean squares. Near 1 for one palate, near or below 0 for two.
   */
  readonly commonRelief: number;
}

export type PalateOutcome =
  | { readonly state: "fitted"; readonly fit: PalateFit }
  | { readonly state: "failed"; readonly error: ErrorParts };

/** The palate registered as a whole and by halves. */
export interface PalateRegistration {
  readonly whole: PalateOutcome;
  /** The patient's right half. */
  readonly right: PalateOutcome;
  readonly left: PalateOutcome;
  /** The regions used; null where none could be proposed. */
  readonly regions: { readonly before: PalateRegion | null; readonly after: PalateRegion | null };
  readonly identity: Identity;
  readonly warnings: readonly { readonly code: string; readonly text: string }[];
}

/** A half that fits worse than this is not one rigid body, or not well scanned, mm (a convention). */
const HALF_TO_WARN = 0.15;
/** The two ways round may differ by this much before it is said, mm (a convention). */
const DISAGREEMENT_TO_WARN = 0.1;
/** Where the halves' motions differ by no more than this (root mean square, mm), the palate counts as one piece. */
const ONE_PIECE = 0.1;

interface Part {
  readonly region: PalatePart;
  readonly name: string;
  readonly label: string;
  readonly robustness: RobustnessMode;
  /** Quadrants whose landmarks give its first position. */
  readonly quadrants: readonly number[];
  readonly maskOf: (region: PalateRegion) => Uint8Array;
}

const WHOLE: Part = {
  region: "whole-palate",
  name: "The palate",
  label: "whole palate: shares the opening about evenly, gives no shares of sides",
  robustness: "even",
  quadrants: [1, 2, 5, 6],
  maskOf: (region) => region.whole.mask,
};
const RIGHT: Part = {
  region: "right-palate",
  name: "The right half of the palate",
  label: "right half of the palate: the left half and the teeth are seen relative to it",
  robustness: "tukey",
  quadrants: [1, 5],
  maskOf: (region) => region.right.mask,
};
const LEFT: Part = {
  region: "left-palate",
  name: "The left half of the palate",
  label: "left half of the palate: the right half and the teeth are seen relative to it",
  robustness: "tukey",
  quadrants: [2, 6],
  maskOf: (region) => region.left.mask,
};

/**
 * Registers the palate of two scans of one patient. Expansion splits it, so no rigid fit of the whole is valid across
 * the opening: each half is registered by itself, started from the landmarks of its own side (a start from the whole
 * arch can lock a half on to the neighbouring tooth). The fit of the whole beside them is the motion nearest to those of
 * both halves, so it shares the opening about evenly; where they did not move apart, both are registered as one.
 * A part that cannot be fitted carries its error and does not stop the others. Where the palates turn out not to be one
 * patient's, every part fails with `no-region-fits`.
 * @throws RapheError `cancelled`
 */
export function registerPalate(before: PalateScan, after: PalateScan, job: JobControl = UNWATCHED): PalateRegistration {
  const regions = { before: regionOrError(before), after: regionOrError(after) };
  const pair: Pair = { before, after, regions };
  const right = attempt(RIGHT, () => registerPart(RIGHT, pair, partOf(job, 0, 0.35)));
  const left = attempt(LEFT, () => registerPart(LEFT, pair, partOf(job, 0.35, 0.7)));
  const whole = attempt(WHOLE, () => registerWhole(right, left, pair, partOf(job, 0.7, 1)));
  const identity = identityOf([right, left].map((half) => (half.state === "fitted" ? half.fit : half.error)));
  const refused = (part: Part): PalateOutcome => ({ state: "failed", error: notTheSame(part.name, identity.sentence) });
  const different = identity.verdict === "different";
  const given = (region: PalateRegion | ErrorParts): PalateRegion | null => ("whole" in region ? region : null);
  return {
    whole: different ? refused(WHOLE) : whole,
    right: different ? refused(RIGHT) : right,
    left: different ? refused(LEFT) : left,
    regions: { before: given(regions.before), after: given(regions.after) },
    identity,
    warnings: different ? [] : [right, left].flatMap(warningsOf),
  };
}

/** Both scans with the regions proposed on them, or why there is none. */
interface Pair {
  readonly before: PalateScan;
  readonly after: PalateScan;
  readonly regions: { readonly before: PalateRegion | ErrorParts; readonly after: PalateRegion | ErrorParts };
}

function attempt(part: Part, work: () => PalateFit): PalateOutcome {
  try {
    return { state: "fitted", fit: work() };
  } catch (thrown) {
    if (thrown instanceof RapheError && thrown.code === "cancelled") throw thrown;
    return { state: "failed", error: errorParts(thrown, part.name) };
  }
}

const notTheSame = (subject: string, sentence: string): ErrorParts => ({
  code: "no-region-fits",
  subject,
  problem: sentence.replace(/\.$/, ""),
  remedy: "Check that both scans show the same patient's upper arch and that the landmarks are on the right teeth",
});

function regionOrError(scan: PalateScan): PalateRegion | ErrorParts {
  try {
    return proposePalateRegion(scan.surface, scan.toFrame, scan.marks, scan.name);
  } catch (thrown) {
    return errorParts(thrown, scan.name);
  }
}

/** The region of a part on the scan it is taken from. */
function regionOf(part: Part, region: PalateRegion | ErrorParts): Uint8Array {
  if (!("whole" in region)) throw new RapheError(region);
  return part.maskOf(region);
}

/** Registers one part by ICP, and the other way round to see whether both agree. */
function registerPart(part: Part, pair: Pair, job: JobControl): PalateFit {
  const { before, after, regions } = pair;
  const region = regionOf(part, regions.before);
  const fit = rigidIcp({
    moving: before.surface,
    fixed: after.surface,
    start: startOf(part, before.marks, after.marks),
    region,
    robustness: part.robustness,
    name: part.name,
    toFrame: after.toFrame,
    job: partOf(job, 0, 0.5),
  });
  return {
    region: part.region,
    label: part.label,
    fit,
    afterToBefore: invert(fit.transform),
    disagreement: disagreementOf(part, pair, region, fit, partOf(job, 0.5, 1)),
    commonRelief: commonReliefOf(before, region, fit),
  };
}

/**
 * The whole palate: the motion shared by both halves where they moved apart, else one fit of all of it.
 * @throws RapheError the error of a half that has none, unless the palate fits in one piece
 */
function registerWhole(right: PalateOutcome, left: PalateOutcome, pair: Pair, job: JobControl): PalateFit {
  const { before, after, regions } = pair;
  if (right.state === "failed" || left.state === "failed") {
    const one = registerPart(WHOLE, pair, job);
    if (one.fit.rmsOfAll > HALF_TO_WARN) throw new RapheError(failureOf(right) ?? failureOf(left)!);
    return one;
  }
  const { transform, apart } = sharedMotion(before.surface.mesh, [
    { mask: regionOf(RIGHT, regions.before), motion: right.fit.fit.transform },
    { mask: regionOf(LEFT, regions.before), motion: left.fit.fit.transform },
  ]);
  if (apart <= ONE_PIECE) return registerPart(WHOLE, pair, job);
  const fit = assessFit(
    {
      moving: before.surface,
      fixed: after.surface,
      start: transform,
      region: regionOf(WHOLE, regions.before),
      robustness: WHOLE.robustness,
      name: WHOLE.name,
      toFrame: after.toFrame,
      job,
    },
    transform,
    right.fit.fit.iterations + left.fit.fit.iterations,
  );
  const sentence = `The palate opened, so as a whole it only fits to ${fit.rmsOfAll.toFixed(2)} mm; this position shares the opening about evenly between the halves.`;
  return {
    region: WHOLE.region,
    label: WHOLE.label,
    fit: { ...fit, sentence },
    afterToBefore: invert(transform),
    disagreement: null,
    commonRelief: commonReliefOf(before, regionOf(WHOLE, regions.before), fit),
  };
}

function commonReliefOf(before: PalateScan, region: Uint8Array, fit: RigidFit): number {
  const relief = reliefOf(before.surface, region, before.toFrame);
  return 1 - (fit.rmsOfAll * fit.rmsOfAll) / (relief * relief);
}

const failureOf = (outcome: PalateOutcome): ErrorParts | null => (outcome.state === "failed" ? outcome.error : null);

/** First position of a part: from the landmarks of its side; where those do not hold one, from all. */
function startOf(part: Part, before: readonly Mark[], after: readonly Mark[]): RigidTransform {
  const ofSide = (marks: readonly Mark[]): Mark[] =>
    marks.filter(
      ({ tooth }) =>
        (tooth === undefined && part.region === "whole-palate") ||
        (tooth !== undefined && part.quadrants.includes(Math.floor(tooth / 10))),
    );
  try {
    return landmarkStart(ofSide(before), ofSide(after), part.name).transform;
  } catch {
    return landmarkStart(before, after, part.name).transform;
  }
}

/** Root mean square distance over the region between a fit and the one made the other way round, mm. */
function disagreementOf(
  part: Part,
  { before, after, regions }: Pair,
  region: Uint8Array,
  forward: RigidFit,
  job: JobControl,
): number | null {
  if (!("whole" in regions.after)) return null;
  let backward: RigidTransform;
  try {
    backward = rigidIcp({
      moving: after.surface,
      fixed: before.surface,
      start: invert(forward.transform),
      region: part.maskOf(regions.after),
      robustness: part.robustness,
      name: part.name,
      toFrame: before.toFrame,
      job,
    }).transform;
  } catch (thrown) {
    if (thrown instanceof RapheError && thrown.code === "cancelled") throw thrown;
    return null;
  }
  const { positions } = before.surface.mesh;
  let squares = 0;
  let count = 0;
  for (let v = 0; v < vertexCount(before.surface.mesh); v++) {
    if (!region[v]!) continue;
    const p: Vector3 = [positions[3 * v]!, positions[3 * v + 1]!, positions[3 * v + 2]!];
    const off = distance(apply(backward, apply(forward.transform, p)), p);
    squares += off * off;
    count++;
  }
  return Math.sqrt(squares / count);
}

function warningsOf(outcome: PalateOutcome): { code: string; text: string }[] {
  if (outcome.state === "failed") return [];
  const { region, fit, disagreement } = outcome.fit;
  const half = region === "right-palate" ? "right" : "left";
  const warnings: { code: string; text: string }[] = [];
  if (fit.rms > HALF_TO_WARN) {
    warnings.push({
      code: "half-fits-loosely",
      text: `The ${half} half of the palate fits to ${fit.rms.toFixed(2)} mm only (${HALF_TO_WARN} mm is usual): its surface changed, or a scan is distorted.`,
    });
  }
  if (disagreement !== null && disagreement > DISAGREEMENT_TO_WARN) {
    warnings.push({
      code: "half-disagrees",
      text: `The ${half} half of the palate, registered the other way round, lies ${disagreement.toFixed(2)} mm elsewhere: its position is less certain than stated.`,
    });
  }
  return warnings;
}
