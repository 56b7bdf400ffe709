import { registerCrownGroups } from "../arch/crown-groups";
import { type CrownRegistration, type CrownScan, registerCrowns } from "../arch/crown-registration";
import { invert, type RigidTransform } from "../geometry/rigid-transform";
import { type JobControl, partOf } from "../job-control";
import type { ArchScan, HalvesRegistration, PartOutcome, ScanPair } from "../registration/halves-registration";
import { belongNot } from "../registration/identity";
import { lacksPalate, lacksPalateOn, palatePair, registerPalatePair } from "../registration/palate";
import type { SpanEnd } from "./span-end";
import { palateRefusal, splintedTeeth } from "./span-painting";

/** Both scans registered: the palate (else the crowns of each side) by halves and as a whole, and every crown. */
export interface SpanRegistration {
  readonly palate: HalvesRegistration;
  /** From the earlier to the later scan; empty where the palates are not one patient's. */
  readonly crowns: readonly CrownRegistration[];
}

/**
 * Registers the palates of a span by halves; where a scan shows none, the crowns of each side as a group.
 * @returns null where a scan or its arch frame is missing
 * @throws RapheError `cancelled`
 */
export function registerHalvesOf(first: SpanEnd, second: SpanEnd, job: JobControl): HalvesRegistration | null {
  if (first.scan === null || second.scan === null) return null;
  if (first.landmarks.frame === null || second.landmarks.frame === null) return null;
  const pair = palatePair(archScan(first), archScan(second));
  if (lacksPalate(pair)) {
    job.progress(0, "Registering the crowns of each side");
    return withOnePalate(pair, registerCrownGroups(crownScan(first), crownScan(second), job));
  }
  job.progress(0, "Registering the palate");
  return registerPalatePair(pair, job);
}

/** A lower arch has no palate: where only one scan shows one and the crowns are not the same, that is said. */
function withOnePalate(pair: ScanPair, found: HalvesRegistration): HalvesRegistration {
  const bare = [pair.before, pair.after].filter((_, i) =>
    lacksPalateOn(i === 0 ? pair.regions.before : pair.regions.after),
  );
  if (bare.length !== 1 || found.identity.verdict === "same") return found;
  const other = bare[0] === pair.before ? pair.after : pair.before;
  const text = `Only the ${other.name} scan shows a palate: is the ${bare[0]!.name} scan one of the lower arch? Only upper scans are compared; a lower one belongs beside the upper scan of its date.`;
  return { ...found, warnings: [...found.warnings, { code: "palate-on-one-scan", text }] };
}

/**
 * Registers the crowns of the first given scan to the second.
 * @param palate between the two, in either direction
 * @param direction 'forward' where the first given is the earlier scan, as `palate` runs
 * @throws RapheError `cancelled`
 */
export function registerCrownsOf(
  from: SpanEnd,
  to: SpanEnd,
  palate: HalvesRegistration,
  direction: "forward" | "backward",
  job: JobControl,
  wanted?: (tooth: number) => boolean,
): CrownRegistration[] {
  job.progress(0, "Registering the crowns");
  const motionOf = (half: PartOutcome): RigidTransform | null => {
    if (half.state === "failed") return null;
    return direction === "forward" ? half.fit.fit.transform : invert(half.fit.fit.transform);
  };
  const halves = { right: motionOf(palate.right), left: motionOf(palate.left) };
  return registerCrowns(crownScan(from), crownScan(to), halves, job, wanted);
}

/**
 * Registers the two scans of a span.
 * @returns null where a scan or its arch frame is missing
 * @throws RapheError `cancelled`
 */
export function registerSpan(first: SpanEnd, second: SpanEnd, job: JobControl): SpanRegistration | null {
  const palate = registerHalvesOf(first, second, partOf(job, 0, 0.6));
  if (palate === null) return null;
  if (belongNot(palate.identity)) return { palate, crowns: [] };
  return { palate, crowns: registerCrownsOf(first, second, palate, "forward", partOf(job, 0.6, 1)) };
}

/** One end of the span as its palate is registered. */
export function archScan({ timepoint, scan, reference, landmarks }: SpanEnd): ArchScan {
  return {
    surface: scan!.registration(),
    toFrame: landmarks.frame!.toFrame,
    marks: landmarks.inUse.map(({ tooth, place, used }) => ({ ...(tooth === null ? {} : { tooth }), place, at: used })),
    name: timepoint.name,
    painted: reference ?? undefined,
    refused: palateRefusal(timepoint, scan!.surface.masked !== undefined),
  };
}

const crownScan = ({ timepoint, scan, landmarks }: SpanEnd): CrownScan => ({
  surface: scan!.registration(),
  toFrame: landmarks.frame!.toFrame,
  marks: landmarks.inUse,
  name: timepoint.name,
  splinted: splintedTeeth(timepoint),
});
