import { commonPlanePairs, inFrame } from "../arch/arch-frame";
import { asLandmark, frameOf, type LandmarkInUse } from "../arch/landmarks-in-use";
import { type JobControl, partOf } from "../job-control";
import { carryOver } from "./carry-over";
import type { JobRequest } from "./job-list";
import type { ScanStore } from "./scan-store";
import { type SpanEnd, spanEnds } from "./span-end";

/** The ends of a span with the landmarks that only a scan outside of it has. */
export interface SourcedSpan {
  readonly ends: readonly [SpanEnd, SpanEnd];
  /** The timepoint that they were placed on; null where none were needed. */
  readonly source: string | null;
}

type Spot = Pick<LandmarkInUse, "tooth" | "place">;

const spotKey = ({ tooth, place }: { tooth?: number | null | undefined; place: string }): string =>
  `${tooth ?? "palate"} ${place}`;

/**
 * Carries spots that were placed on neither scan of the span from the scan of the case that has them to both: the same
 * material point at all times. Each end carries the error of its own registration to that scan. Of several scans the
 * one with the most such spots is taken, of equal ones the earliest. Spots that stand on one end of the span are left
 * to `carryOver`, which registers the two ends themselves.
 * @throws RapheError `cancelled`, `bad-request` for a handle that names nothing
 */
export function landmarkSource(
  request: JobRequest<"measure">,
  store: ScanStore,
  ends: readonly [SpanEnd, SpanEnd],
  job: JobControl,
): SourcedSpan {
  const { document, handles } = request;
  const standing = new Set(ends.flatMap(({ timepoint }) => timepoint.landmarks.map(spotKey)));
  const best = document.timepoints
    .filter(({ name }) => handles[name] !== undefined && ends.every(({ timepoint }) => timepoint.name !== name))
    .map(({ name, landmarks }) => ({
      name,
      wanted: new Set(landmarks.map(spotKey).filter((key) => !standing.has(key))),
    }))
    .filter(({ wanted }) => wanted.size > 0)
    .reduce<{ name: string; wanted: Set<string> } | null>(
      (most, one) => (most === null || one.wanted.size > most.wanted.size ? one : most),
      null,
    );
  if (best === null) return { ends, source: null };
  const wanted = (spot: Spot): boolean => best.wanted.has(spotKey(spot));
  const [first, second] = ends.map((end, i) =>
    end.scan === null ? end : withCarried(end, best.name, wanted, request, store, partOf(job, i / 2, (i + 1) / 2)),
  );
  return { ends: onCommonPlane([first!, second!]), source: best.name };
}

/** One end with the wanted spots of the source as they were carried to it, or why they could not be. */
function withCarried(
  end: SpanEnd,
  source: string,
  wanted: (spot: Spot) => boolean,
  { document, handles, painted }: JobRequest<"measure">,
  store: ScanStore,
  job: JobControl,
): SpanEnd {
  const pair = spanEnds({ ...document, span: { from: source, to: end.timepoint.name } }, handles, store, painted);
  const [, arrived] = carryOver(pair, job).ends;
  return {
    ...end,
    landmarks: {
      ...arrived.landmarks,
      inUse: arrived.landmarks.inUse.filter((mark) => mark.how !== "carried" || wanted(mark)),
    },
    notCarried: (arrived.notCarried ?? []).filter(wanted),
  };
}

/** Both arch frames on the same pairs of teeth, where these give one. */
function onCommonPlane(ends: readonly [SpanEnd, SpanEnd]): [SpanEnd, SpanEnd] {
  const marks = ends.map(({ landmarks }) => landmarks.inUse.map(asLandmark));
  const pairs = commonPlanePairs(marks.filter((list) => list.length > 0));
  const [first, second] = ends.map((end, i): SpanEnd => {
    const frame = frameOf(marks[i]!, pairs, end.timepoint.name).frame ?? end.landmarks.frame;
    return {
      ...end,
      landmarks: {
        ...end.landmarks,
        frame,
        inUse: end.landmarks.inUse.map((m) => ({ ...m, inFrame: frame === null ? null : inFrame(frame, m.used) })),
      },
    };
  });
  return [first!, second!];
}
