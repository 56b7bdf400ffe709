import { type ErrorParts, errorParts, RapheError } from "../errors";
import { apply, invert, type RigidTransform } from "../geometry/rigid-transform";
import { distance, type Vector3 } from "../geometry/vector";
import { type JobControl, partOf } from "../job-control";
import { vertexCount } from "../mesh/triangle-mesh";
import type { RobustnessMode } from "./icp-request";
import { belongNot, type Identity, MIRRORED } from "./identity";
import { landmarkStart, type Mark } from "./landmark-start";
import { isMirrorImage } from "./mirror-image";
import type { RegistrationSurface } from "./registration-surface";
import { reliefOf } from "./relief";
import { assessFit, type RigidFit } from "./rigid-fit";
import { rigidIcp } from "./rigid-icp";
import { sharedMotion } from "./shared-motion";
import type { SidedRegion } from "./sided-region";

/** One scan of an upper arch with what is known of it. */
export interface ArchScan {
  readonly surface: RegistrationSurface;
  /** File coordinates (mm) → arch frame. */
  readonly toFrame: RigidTransform;
  /** Landmarks, mm in file coordinates. */
  readonly marks: readonly Mark[];
  /** The timepoint's name, for errors. */
  readonly name: string;
  /** Reference painted by the user, per triangle 0 = not painted; without it the region is proposed. */
  readonly painted?: Uint8Array | undefined;
  /** Why nothing may be registered by this scan's palate at all; it is measured on where left out. */
  readonly refused?: ErrorParts | undefined;
}

/** What the two halves are registered by: the surfaces of the palate, or where there is none the crowns of each side. */
export type HalvesOf = "palate" | "crowns";

export type PartName =
  | "whole-palate"
  | "right-palate"
  | "left-palate"
  | "all-crowns"
  | "right-group-of-crowns"
  | "left-group-of-crowns";

/** One part registered before → after. */
export interface PartFit {
  readonly region: PartName;
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
   * root mean squares. Near 1 for one patient's surface, near or below 0 for two's.
   */
  readonly commonRelief: number;
}

export type PartOutcome =
  | { readonly state: "fitted"; readonly fit: PartFit }
  | { readonly state: "failed"; readonly error: ErrorParts };

/** Both halves registered, and the whole between them. */
export interface HalvesRegistration {
  readonly of: HalvesOf;
  readonly whole: PartOutcome;
  /** The patient's right half. */
  readonly right: PartOutcome;
  readonly left: PartOutcome;
  /** The regions used; null where none could be proposed. */
  readonly regions: { readonly before: SidedRegion | null; readonly after: SidedRegion | null };
  readonly identity: Identity;
  readonly warnings: readonly { readonly code: string; readonly text: string }[];
}

/** How one part is registered. */
export interface PartPlan {
  readonly side: "whole" | "right" | "left";
  readonly region: PartName;
  /** 'The right half of the palate' */
  readonly name: string;
  readonly label: string;
  readonly robustness: RobustnessMode;
  /** Quadrants whose landmarks give its first position. */
  readonly quadrants: readonly number[];
}

/** Both scans with the regions proposed on them, or why there is none. */
export interface ScanPair {
  readonly before: ArchScan;
  readonly after: ArchScan;
  readonly regions: { readonly before: SidedRegion | ErrorParts; readonly after: SidedRegion | ErrorParts };
}

/** What is registered, by which rules. */
export interface HalvesPlan {
  readonly of: HalvesOf;
  readonly whole: PartPlan;
  readonly right: PartPlan;
  readonly left: PartPlan;
  readonly identity: (halves: readonly [right: PartOutcome, left: PartOutcome]) => Identity;
  /** First position of a half; from its landmarks if left out. */
  readonly start?: (part: PartPlan, start: RigidTransform, job: JobControl) => RigidTransform;
  /** What else is known of a half's fit. */
  readonly refined?: (part: PartPlan, fit: RigidFit) => RigidFit;
  /** What is said of a half that fits worse than is usual, as a sentence. */
  readonly loose: (part: PartPlan, fit: RigidFit) => string | null;
  /** What is said of the whole where the halves moved apart: the sentence's beginning. */
  readonly opened: string;
}

/** A painted reference smaller than this on a part registers nothing, mm²: as for any region. */
const LEAST_PAINTED = 20;
/** A half that fits worse than this is not one rigid body, or not well scanned, mm (a convention). */
export const HALF_TO_WARN = 0.15;
/** The two ways round may differ by this much before it is said, mm (a convention). */
const DISAGREEMENT_TO_WARN = 0.1;
/** Where the halves' motions differ by no more than this (root mean square, mm), the whole counts as one piece. */
const ONE_PIECE = 0.1;

/**
 * Registers both halves by themselves, each started from the landmarks of its own side (a start from the whole arch can
 * lock a half on to the neighbouring tooth), and the whole as the motion nearest to those of both, so that it shares the
 * opening about evenly; where they did not move apart, both as one. A part that cannot be fitted carries its error and
 * does not stop the others. Where the scans turn out not to be one patient's, every part fails with `no-region-fits`.
 * @throws RapheError `cancelled`
 */
export function registerHalves(plan: HalvesPlan, pair: ScanPair, job: JobControl): HalvesRegistration {
  const right = attempt(plan.right, () => registerPart(plan, plan.right, pair, partOf(job, 0, 0.35)));
  const left = attempt(plan.left, () => registerPart(plan, plan.left, pair, partOf(job, 0.35, 0.7)));
  const whole = attempt(plan.whole, () => registerWhole(plan, right, left, pair, partOf(job, 0.7, 0.9)));
  const identity = mirrored(plan, right, left, pair, partOf(job, 0.9, 1)) ? MIRRORED : plan.identity([right, left]);
  const different = belongNot(identity);
  const kept = (part: PartPlan, outcome: PartOutcome): PartOutcome =>
    different ? { state: "failed", error: notTheSame(part.name, identity.sentence) } : outcome;
  const given = (region: SidedRegion | ErrorParts): SidedRegion | null => ("whole" in region ? region : null);
  return {
    of: plan.of,
    whole: kept(plan.whole, whole),
    right: kept(plan.right, right),
    left: kept(plan.left, left),
    regions: { before: given(pair.regions.before), after: given(pair.regions.after) },
    identity,
    warnings: different ? [] : [...warningsOf(plan, plan.right, right), ...warningsOf(plan, plan.left, left)],
  };
}

/** Whether the halves lie on the other scan clearly better when reflected. */
function mirrored(plan: HalvesPlan, right: PartOutcome, left: PartOutcome, pair: ScanPair, job: JobControl): boolean {
  const { before, after, regions } = pair;
  if (!("whole" in regions.before) || after.refused !== undefined) return false;
  const startFor = (part: PartPlan, outcome: PartOutcome): RigidTransform =>
    outcome.state === "fitted" ? outcome.fit.fit.transform : startOf(part, before.marks, after.marks);
  const off = (outcome: PartOutcome): number => (outcome.state === "fitted" ? outcome.fit.fit.rmsOfAll : Infinity);
  let starts: { right: RigidTransform; left: RigidTransform };
  try {
    starts = { right: startFor(plan.right, right), left: startFor(plan.left, left) };
  } catch {
    // Too few landmarks to begin with: nothing can be compared either way.
    return false;
  }
  const direct = { right: off(right), left: off(left) };
  return isMirrorImage(before.surface, after.surface, regions.before, before.toFrame, starts, direct, job);
}

function attempt(part: PartPlan, work: () => PartFit): PartOutcome {
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

/**
 * The region of a part on the scan it is taken from.
 * @throws RapheError why there is none, `too-few-points` where too little of it was painted
 */
function regionOf({ side, name }: PartPlan, region: SidedRegion | ErrorParts): Uint8Array {
  if (!("whole" in region)) throw new RapheError(region);
  const { mask, area } = region[side];
  if (region.origin === "painted" && area < LEAST_PAINTED) {
    throw new RapheError({
      code: "too-few-points",
      subject: name,
      problem: `of the painted reference only ${area.toFixed(0)} mm² are on it, ${LEAST_PAINTED} mm² are needed (the strip along the median plane and what an appliance covers do not count)`,
      remedy: "Paint more of the rugae and the vault there, or wipe the reference to have it proposed",
    });
  }
  return mask;
}

/** What a fit is, and where its region comes from if not from the landmarks. */
function labelOf({ label }: PartPlan, { before, regions }: ScanPair): string {
  const painted = "whole" in regions.before && regions.before.origin === "painted";
  return painted ? `${label}; over the reference painted on the ${before.name} scan` : label;
}

/** Registers one part by ICP, and the other way round to see whether both agree. */
function registerPart(plan: HalvesPlan, part: PartPlan, pair: ScanPair, job: JobControl): PartFit {
  const { before, after, regions } = pair;
  if (after.refused !== undefined) throw new RapheError(after.refused);
  const region = regionOf(part, regions.before);
  const rough = startOf(part, before.marks, after.marks);
  const found = rigidIcp({
    moving: before.surface,
    fixed: after.surface,
    start: plan.start === undefined || part.side === "whole" ? rough : plan.start(part, rough, partOf(job, 0, 0.1)),
    region,
    robustness: part.robustness,
    name: part.name,
    toFrame: after.toFrame,
    job: partOf(job, 0.1, 0.5),
  });
  const fit = plan.refined === undefined || part.side === "whole" ? found : plan.refined(part, found);
  return {
    region: part.region,
    label: labelOf(part, pair),
    fit,
    afterToBefore: invert(fit.transform),
    disagreement: disagreementOf(part, pair, region, fit, partOf(job, 0.5, 1)),
    commonRelief: commonReliefOf(before, region, fit),
  };
}

/**
 * The whole: the motion shared by both halves where they moved apart, else one fit of all of it.
 * @throws RapheError the error of a half that has none, unless the whole fits in one piece
 */
function registerWhole(
  plan: HalvesPlan,
  right: PartOutcome,
  left: PartOutcome,
  pair: ScanPair,
  job: JobControl,
): PartFit {
  const { before, after, regions } = pair;
  const { whole } = plan;
  if (right.state === "failed" || left.state === "failed") {
    const one = registerPart(plan, whole, pair, job);
    if (one.fit.rmsOfAll > HALF_TO_WARN) throw new RapheError(failureOf(right) ?? failureOf(left)!);
    return one;
  }
  const { transform, apart } = sharedMotion(before.surface.mesh, [
    { mask: regionOf(plan.right, regions.before), motion: right.fit.fit.transform },
    { mask: regionOf(plan.left, regions.before), motion: left.fit.fit.transform },
  ]);
  if (apart <= ONE_PIECE) return registerPart(plan, whole, pair, job);
  const region = regionOf(whole, regions.before);
  const fit = assessFit(
    {
      moving: before.surface,
      fixed: after.surface,
      start: transform,
      region,
      robustness: whole.robustness,
      name: whole.name,
      toFrame: after.toFrame,
      job,
    },
    transform,
    right.fit.fit.iterations + left.fit.fit.iterations,
  );
  const sentence = `${plan.opened} to ${fit.rmsOfAll.toFixed(2)} mm; this position shares the opening about evenly between the halves.`;
  return {
    region: whole.region,
    label: labelOf(whole, pair),
    fit: { ...fit, sentence },
    afterToBefore: invert(transform),
    disagreement: null,
    commonRelief: commonReliefOf(before, region, fit),
  };
}

function commonReliefOf(before: ArchScan, region: Uint8Array, fit: RigidFit): number {
  const relief = reliefOf(before.surface, region, before.toFrame);
  return 1 - (fit.rmsOfAll * fit.rmsOfAll) / (relief * relief);
}

const failureOf = (outcome: PartOutcome): ErrorParts | null => (outcome.state === "failed" ? outcome.error : null);

/** First position of a part: from the landmarks of its side; where those do not hold one, from all. */
function startOf(part: PartPlan, before: readonly Mark[], after: readonly Mark[]): RigidTransform {
  const ofSide = (marks: readonly Mark[]): Mark[] =>
    marks.filter(
      ({ tooth }) =>
        (tooth === undefined && part.side === "whole") ||
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
  part: PartPlan,
  { before, after, regions }: ScanPair,
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
      region: regionOf(part, regions.after),
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

function warningsOf(plan: HalvesPlan, part: PartPlan, outcome: PartOutcome): { code: string; text: string }[] {
  if (outcome.state === "failed") return [];
  const { fit, disagreement } = outcome.fit;
  const loose = plan.loose(part, fit);
  const warnings: { code: string; text: string }[] = loose === null ? [] : [{ code: "half-fits-loosely", text: loose }];
  if (disagreement !== null && disagreement > DISAGREEMENT_TO_WARN) {
    warnings.push({
      code: "half-disagrees",
      text: `${part.name}, registered the other way round, lies ${disagreement.toFixed(2)} mm elsewhere: its position is less certain than stated.`,
    });
  }
  return warnings;
}
