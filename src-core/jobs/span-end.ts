import type { Place } from "../arch/landmark";
import type { ScanLandmarks } from "../arch/landmarks-in-use";
import { lowerLandmarksInUse } from "../arch/lower-landmarks";
import { RIGHT_AND_LEFT } from "../arch/sides";
import type { CaseDocument } from "../case/case-document";
import { emptyTimepoint, lowerScanName, type Timepoint } from "../case/timepoint";
import { type ToothAway, teethAway } from "../case/tooth-standing";
import { RapheError } from "../errors";
import type { PointSet } from "../readings/width";
import type { PaintedBits } from "./job-list";
import type { KeptScan, ScanStore } from "./scan-store";
import { type CoveredSpot, maskedScan, paintedOn, uncoveredLandmarks } from "./span-painting";

/** The scan of one end of the span with what is painted on it. */
export interface SpanScan {
  /** Its surface knows what an appliance covers. */
  readonly scan: KeptScan | null;
  /** The reference painted on it, one byte per triangle; null: none. */
  readonly reference: Uint8Array | null;
}

/** A timepoint as its teeth stand. */
interface Standing {
  /** With the landmarks on teeth that are there and can be seen. */
  readonly timepoint: Timepoint;
  /** Upper teeth that do not stand on the scan. */
  readonly away: readonly ToothAway[];
  /** Teeth that are stated as not there and have landmarks none the less. */
  readonly contradicted: readonly ToothAway[];
}

/** One end of the span: its timepoint, its scan if there is one, and its landmarks ready to use. */
export interface SpanEnd extends SpanScan, Standing {
  readonly landmarks: ScanLandmarks;
  /** Placed spots that an appliance covers. */
  readonly covered: readonly CoveredSpot[];
  /** Of the later end: why nothing on it may be compared with the earlier one, if so. */
  readonly notComparable?: PointSet["notComparable"];
  /** Spots of the other scan that could not be carried to this one, with the reason. */
  readonly notCarried?: readonly {
    readonly tooth: number | null;
    readonly place: Place;
    readonly code: "needs-landmark" | "masked";
    readonly text: string;
  }[];
}

/** @throws RapheError `bad-request` where the case has no such timepoint */
function comparedTimepoints(document: CaseDocument): Timepoint[] {
  return [document.span.from, document.span.to].map((name) => {
    const timepoint = document.timepoints.find((t) => t.name === name);
    if (timepoint !== undefined) return timepoint;
    throw new RapheError({
      code: "bad-request",
      subject: name,
      problem: "the case has no such timepoint",
      remedy: "Choose two of its timepoints",
    });
  });
}

/**
 * The scans of both ends of the span, the earlier one first, with what is painted on them.
 * @param painted the bits of every area that the case names, by their hash
 * @throws RapheError `bad-request` where the case has no such timepoint, a handle names nothing or bits are missing
 */
export function spanScans(
  document: CaseDocument,
  handles: Readonly<Record<string, string>>,
  store: ScanStore,
  painted: PaintedBits,
): [SpanScan, SpanScan] {
  const [first, second] = comparedTimepoints(document);
  return [spanScan(first!, handles, store, painted), spanScan(second!, handles, store, painted)];
}

function spanScan(
  { name, appliancePainted, referencePainted }: Timepoint,
  handles: Readonly<Record<string, string>>,
  store: ScanStore,
  painted: PaintedBits,
): SpanScan {
  if (handles[name] === undefined) return { scan: null, reference: null };
  const scan = store.get(handles[name]);
  return {
    scan: maskedScan(scan, paintedOn(scan, appliancePainted, painted)),
    reference: paintedOn(scan, referencePainted, painted),
  };
}

/**
 * Both ends of the span, their occlusal planes on the same pairs of teeth. What an appliance covers is known to their
 * surfaces, and no landmark stands on it.
 * @param painted the bits of every area that the case names, by their hash
 * @throws RapheError `bad-request` where the case has no such timepoint, a handle names nothing or bits are missing
 */
export function spanEnds(
  document: CaseDocument,
  handles: Readonly<Record<string, string>>,
  store: ScanStore,
  painted: PaintedBits,
): [SpanEnd, SpanEnd] {
  const stands = comparedTimepoints(document).map((timepoint) => withTeethThere(document, timepoint));
  const [first, second] = endsOf(stands, spanScans(document, handles, store, painted));
  return [first!, second!];
}

/**
 * The timepoint before the expansion, for a span that begins where turning ended: the last one of its kind with a scan
 * at hand; null where the case has none.
 * @throws RapheError `bad-request` where a handle names nothing or bits are missing
 */
export function endBefore(
  document: CaseDocument,
  handles: Readonly<Record<string, string>>,
  store: ScanStore,
  painted: PaintedBits,
): SpanEnd | null {
  const { timepoints, span } = document;
  const found = timepoints.filter(({ name, kind }) => kind === "before" && name !== span.from && name !== span.to);
  const timepoint = found.findLast(({ name }) => handles[name] !== undefined);
  if (timepoint === undefined) return null;
  return endsOf([withTeethThere(document, timepoint)], [spanScan(timepoint, handles, store, painted)])[0]!;
}

/**
 * A timepoint once for each set of landmarks placed on it, as for the ends of a span.
 * @throws RapheError `bad-request` where a handle names nothing or bits are missing
 */
export function endsByLandmarks(
  document: CaseDocument,
  timepoint: Timepoint,
  sets: readonly Timepoint["landmarks"][],
  handles: Readonly<Record<string, string>>,
  store: ScanStore,
  painted: PaintedBits,
): SpanEnd[] {
  const scan = spanScan(timepoint, handles, store, painted);
  const stands = sets.map((landmarks) => withTeethThere(document, { ...timepoint, landmarks }));
  return endsOf(
    stands,
    stands.map(() => scan),
  );
}

function endsOf(stands: readonly Standing[], scans: readonly SpanScan[]): SpanEnd[] {
  const seen = uncoveredLandmarks(stands.map(({ timepoint }, i) => ({ timepoint, scan: scans[i]!.scan })));
  return stands.map((stand, i) => ({ ...stand, ...scans[i]!, ...seen[i]! }));
}

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
  const scan = handles[own] === undefined ? null : store.get(handles[own]);
  const { inUse, faults } = lowerLandmarksInUse(scan?.surface ?? null, lower.landmarks, own);
  return {
    timepoint: { ...emptyTimepoint(own, kind, date), scan: lower.scan, landmarks: lower.landmarks },
    scan,
    reference: null,
    covered: [],
    landmarks: { frame: null, inUse, faults, notices: [] },
    away: [],
    contradicted: [],
  };
}

/** The points of one end as readings take them. */
export const pointSet = ({
  timepoint,
  landmarks,
  away,
  covered,
  notComparable,
  notCarried = [],
}: SpanEnd): PointSet => ({
  timepoint: timepoint.name,
  notComparable,
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
      ...(error.code === RIGHT_AND_LEFT
        ? { code: "needs-landmark" as const, text: error.problem }
        : { code: "landmark-off-surface" as const, text: `${error.problem} on the ${timepoint.name} scan` }),
    })),
    ...covered.map((spot) => ({ ...spot, code: "masked" as const })),
    ...notCarried,
  ],
});
