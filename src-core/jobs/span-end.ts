import { commonPlanePairs } from "../arch/arch-frame";
import type { Place } from "../arch/landmark";
import { landmarksInUse, type ScanLandmarks } from "../arch/landmarks-in-use";
import { lowerLandmarksInUse } from "../arch/lower-landmarks";
import type { CaseDocument } from "../case/case-document";
import { emptyTimepoint, lowerScanName, type Timepoint } from "../case/timepoint";
import { type ToothAway, teethAway } from "../case/tooth-standing";
import { RapheError } from "../errors";
import type { PointSet } from "../readings/width";
import type { KeptScan, ScanStore } from "./scan-store";

/** One end of the span: its timepoint, its scan if there is one, and its landmarks ready to use. */
export interface SpanEnd {
  /** With the landmarks on teeth that are there. */
  readonly timepoint: Timepoint;
  readonly scan: KeptScan | null;
  readonly landmarks: ScanLandmarks;
  /** Upper teeth that do not stand on the scan. */
  readonly away: readonly ToothAway[];
  /** Teeth that are stated as not there and have landmarks none the less. */
  readonly contradicted: readonly ToothAway[];
  /** Spots of the other scan that could not be carried to this one, with the reason. */
  readonly notCarried?: readonly { readonly tooth: number | null; readonly place: Place; readonly text: string }[];
}

const NO_LANDMARKS: ScanLandmarks = { frame: null, inUse: [], faults: [], notices: [] };

/**
 * Both ends of the span, their occlusal planes on the same pairs of teeth.
 * @throws RapheError `bad-request` where the case has no such timepoint or a handle names nothing
 */
export function spanEnds(
  document: CaseDocument,
  handles: Readonly<Record<string, string>>,
  store: ScanStore,
): [SpanEnd, SpanEnd] {
  const stands = [document.span.from, document.span.to].map((name) => {
    const timepoint = document.timepoints.find((t) => t.name === name);
    if (timepoint !== undefined) return withTeethThere(document, timepoint);
    throw new RapheError({
      code: "bad-request",
      subject: name,
      problem: "the case has no such timepoint",
      remedy: "Choose two of its timepoints",
    });
  });
  const timepoints = stands.map(({ timepoint }) => timepoint);
  const scans = timepoints.map(({ name }) => scanOf(name, handles, store));
  const marked = timepoints.filter((t, i) => scans[i] !== null && t.landmarks.length > 0).map((t) => t.landmarks);
  const pairs = commonPlanePairs(marked);
  const [first, second] = stands.map((stand, i) => endOf(stand, scans[i] ?? null, pairs));
  return [first!, second!];
}

const scanOf = (name: string, handles: Readonly<Record<string, string>>, store: ScanStore): KeptScan | null =>
  handles[name] === undefined ? null : store.get(handles[name]);

const endOf = (stand: Standing, scan: KeptScan | null, pairs: ReturnType<typeof commonPlanePairs>): SpanEnd => {
  const { name, landmarks } = stand.timepoint;
  return {
    ...stand,
    scan,
    landmarks:
      scan === null || landmarks.length === 0 ? NO_LANDMARKS : landmarksInUse(scan.surface, landmarks, pairs, name),
  };
};

/**
 * The timepoint before the expansion, for a span that begins where turning ended: the last one of its kind with a scan
 * at hand; null where the case has none.
 * @throws RapheError `bad-request` where a handle names nothing
 */
export function endBefore(
  document: CaseDocument,
  handles: Readonly<Record<string, string>>,
  store: ScanStore,
): SpanEnd | null {
  const { timepoints, span } = document;
  const found = timepoints.filter(({ name, kind }) => kind === "before" && name !== span.from && name !== span.to);
  const timepoint = found.findLast(({ name }) => handles[name] !== undefined);
  if (timepoint === undefined) return null;
  const stand = withTeethThere(document, timepoint);
  return endOf(stand, scanOf(timepoint.name, handles, store), commonPlanePairs([stand.timepoint.landmarks]));
}

type Standing = Pick<SpanEnd, "timepoint" | "away" | "contradicted">;

/** A timepoint with the landmarks on teeth that stand there. */
function withTeethThere(document: CaseDocument, timepoint: Timepoint): Standing {
  const away = teethAway(document, timepoint);
  const isAway = (tooth: number | undefined) => away.some((one) => one.tooth === tooth);
  const contradicted = away.filter(({ tooth }) => timepoint.landmarks.some((mark) => mark.tooth === tooth));
  if (contradicted.length === 0) return { timepoint, away, contradicted };
  const landmarks = timepoint.landmarks.filter(({ tooth }) => !isAway(tooth));
  return { timepoint: { ...timepoint, landmarks }, away, contradicted };
}

/**
 * The lower arch of a timepoint, under its own name, with its landmarks ready to use; null where the case has neither a
 * lower scan of that date nor landmarks of one. It has no frame.
 * @throws RapheError `bad-request` where a handle names nothing
 */
export function lowerEnd(
  { name, kind, date, lower }: Timepoint,
  handles: Readonly<Record<string, string>>,
  store: ScanStore,
): SpanEnd | null {
  if (lower === null || (lower.scan === null && lower.landmarks.length === 0)) return null;
  const own = lowerScanName(name);
  const scan = scanOf(own, handles, store);
  const { inUse, faults } = lowerLandmarksInUse(scan?.surface ?? null, lower.landmarks, own);
  return {
    timepoint: { ...emptyTimepoint(own, kind, date), scan: lower.scan, landmarks: lower.landmarks },
    scan,
    landmarks: { frame: null, inUse, faults, notices: [] },
    away: [],
    contradicted: [],
  };
}

/** The points of one end as readings take them. */
export const pointSet = ({ timepoint, landmarks, away, notCarried = [] }: SpanEnd): PointSet => ({
  timepoint: timepoint.name,
  points: landmarks.inUse.map(({ tooth, place, used, inFrame, carried }) => ({
    tooth,
    place,
    at: used,
    inFrame,
    carried,
  })),
  away,
  faults: [
    ...landmarks.faults.map(({ landmark, error }) => ({
      tooth: landmark.tooth ?? null,
      place: landmark.place,
      code: "landmark-off-surface" as const,
      text: `${error.problem} on the ${timepoint.name} scan`,
    })),
    ...notCarried.map((fault) => ({ ...fault, code: "needs-landmark" as const })),
  ],
});
