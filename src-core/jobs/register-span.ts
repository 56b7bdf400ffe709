import { type CrownRegistration, type CrownScan, registerCrowns } from "../arch/crown-registration";
import type { RigidTransform } from "../geometry/rigid-transform";
import { type JobControl, partOf } from "../job-control";
import { type PalateOutcome, type PalateRegistration, type PalateScan, registerPalate } from "../registration/palate";
import type { SpanEnd } from "./span-end";

/** Both scans registered: the palate by halves and as a whole, and every crown. */
export interface SpanRegistration {
  readonly palate: PalateRegistration;
  /** Empty where the palates are not one patient's. */
  readonly crowns: readonly CrownRegistration[];
}

/**
 * Registers the two scans of a span.
 * @returns null where a scan or its arch frame is missing
 * @throws RapheError `cancelled`
 */
export function registerSpan(first: SpanEnd, second: SpanEnd, job: JobControl): SpanRegistration | null {
  if (first.scan === null || second.scan === null) return null;
  if (first.landmarks.frame === null || second.landmarks.frame === null) return null;
  job.progress(0, "Registering the palate");
  const palate = registerPalate(palateScan(first), palateScan(second), partOf(job, 0, 0.6));
  if (palate.identity.verdict === "different") return { palate, crowns: [] };
  job.progress(0.6, "Registering the crowns");
  const halves = { right: motionOf(palate.right), left: motionOf(palate.left) };
  return { palate, crowns: registerCrowns(crownScan(first), crownScan(second), halves, partOf(job, 0.6, 1)) };
}

const motionOf = (half: PalateOutcome): RigidTransform | null =>
  half.state === "fitted" ? half.fit.fit.transform : null;

function palateScan({ timepoint, scan, landmarks }: SpanEnd): PalateScan {
  return {
    surface: scan!.registration(),
    toFrame: landmarks.frame!.toFrame,
    marks: landmarks.inUse.map(({ tooth, place, used }) => ({ ...(tooth === null ? {} : { tooth }), place, at: used })),
    name: timepoint.name,
  };
}

const crownScan = ({ scan, landmarks }: SpanEnd): CrownScan => ({
  surface: scan!.registration(),
  toFrame: landmarks.frame!.toFrame,
  marks: landmarks.inUse,
});
