import { commonPlanePairs, inFrame } from "../arch/arch-frame";
import { type CarriedPoint, carried, carriedBack } from "../arch/carried-points";
import type { CrownRegistration } from "../arch/crown-registration";
import { landmarkWords, sameSpot } from "../arch/landmark";
import { asLandmark, frameOf, headOf, type LandmarkInUse, landmarksWithCarried } from "../arch/landmarks-in-use";
import { palatalPoint } from "../arch/palatal-point";
import { RIGHT_AND_LEFT } from "../arch/sides";
import { RapheError } from "../errors";
import { apply, invert, type RigidTransform } from "../geometry/rigid-transform";
import { scale } from "../geometry/vector";
import { type JobControl, partOf } from "../job-control";
import type { MeasuredPoint } from "../readings/width";
import { coarsePose } from "../registration/coarse-pose";
import type { HalvesRegistration } from "../registration/halves-registration";
import { MIRRORED_SHAPE } from "../registration/identity";
import { landmarkStart } from "../registration/landmark-start";
import { isMirroredArch } from "../registration/mirror-image";
import { comparedEnds, type NotRegistered, withoutFrame } from "./not-registered";
import { registerCrownsOf, registerHalvesOf, registerSpan, type SpanRegistration } from "./register-span";
import type { SpanEnd } from "./span-end";
import { touchesMask } from "./span-painting";

/** The span with every landmark on both scans that could be carried. */
export interface CarriedSpan {
  readonly ends: readonly [SpanEnd, SpanEnd];
  readonly registered: SpanRegistration | null;
  /** Where the earlier scan's points lie on the later one, of the spots that were placed by hand on both. */
  readonly beside: readonly MeasuredPoint[];
  /** Why nothing is registered; null where something is. */
  readonly refusal: NotRegistered | null;
}

/** A position without landmarks must fit this much better than the next best, or it is not used. */
const LEAST_LEAD = 1.2;

type Mark = Omit<LandmarkInUse, "inFrame">;

const unlaid = (text: string): NotRegistered => ({ code: "registration-failed", text });

/**
 * Registers the two scans of a span and carries each landmark that was placed on one of them only to the other: points
 * of a tooth by the registration of its crown, papilla and raphe by the halves of the palate and the tissue between them
 * (`palatalPoint`). So both scans show the same material point. Points placed by hand on both stay as placed.
 * Where one scan has too few landmarks for an arch frame of its own, a first position comes from the shared landmarks,
 * else from the shape of the arches.
 * @throws RapheError `cancelled`
 */
export function carryOver(ends: readonly [SpanEnd, SpanEnd], job: JobControl): CarriedSpan {
  const span = carriedSpan(ends, job);
  return { ...span, ends: comparedEnds(span.ends, span.registered) };
}

function carriedSpan(ends: readonly [SpanEnd, SpanEnd], job: JobControl): CarriedSpan {
  const [first, second] = ends;
  if (first.scan === null || second.scan === null) {
    const lacking = first.scan === null ? first : second;
    const refusal: NotRegistered = { code: "needs-scan", text: `needs the ${lacking.timepoint.name} scan` };
    return { ends, registered: null, beside: [], refusal };
  }
  const toSecond = lacking(first, second);
  const toFirst = lacking(second, first);
  if (toSecond.length === 0 && toFirst.length === 0) {
    const registered = registerSpan(first, second, job);
    const refusal = registered === null ? unframed(first, second, job) : null;
    return { ends, registered, beside: besideOf(ends, registered, job), refusal };
  }
  const rough = roughPosition(first, second, partOf(job, 0, 0.2));
  if ("text" in rough) {
    return { ends: withReasons(ends, toFirst, toSecond, rough.text), registered: null, beside: [], refusal: rough };
  }
  const drafts = draftEnds(ends, toFirst, toSecond, rough);
  const palate = registerHalvesOf(drafts[0], drafts[1], partOf(job, 0.2, 0.55));
  // Where no palate can be compared each crown still has to fit to itself.
  const trusted = palate !== null && (palate.identity.verdict === "same" || palate.identity.verdict === "unknown");
  if (!trusted) {
    const refusal = palate === null ? unframed(drafts[0], drafts[1], partOf(job, 0.55, 1)) : null;
    return {
      ends: withReasons(ends, toFirst, toSecond, palate?.identity.sentence ?? refusal!.text),
      registered: palate === null ? null : { palate, crowns: [] },
      beside: [],
      refusal,
    };
  }
  const own = teethOf(first);
  const forward = registerCrownsOf(drafts[0], drafts[1], palate, "forward", partOf(job, 0.55, 0.75), (t) => own.has(t));
  const others = teethOf(second);
  const only = (tooth: number) => others.has(tooth) && !own.has(tooth);
  const backward = registerCrownsOf(drafts[1], drafts[0], palate, "backward", partOf(job, 0.75, 0.9), only);

  const final = finished(ends, drafts, [
    toFirst.map((mark) => carriedTo("first", mark, drafts, forward, backward, palate, job)),
    toSecond.map((mark) => carriedTo("second", mark, drafts, forward, backward, palate, job)),
  ]);
  const late =
    final[0].landmarks.frame === null || final[1].landmarks.frame === null
      ? []
      : registerCrownsOf(final[0], final[1], palate, "forward", partOf(job, 0.9, 1), only);
  const registered = { palate, crowns: [...forward, ...late] };
  return { ends: final, registered, beside: besideOf(final, registered, job), refusal: null };
}

const isCarried = (mark: Mark): boolean => mark.how === "carried";

const isPalatal = (mark: Mark): boolean => mark.tooth === null;

const teethOf = ({ landmarks }: SpanEnd): Set<number> =>
  new Set(landmarks.inUse.flatMap(({ tooth }) => (tooth === null ? [] : [tooth])));

/**
 * Spots that were placed on one scan and neither stand nor were tried on the other, of teeth that are there. Raphe points
 * go together or not at all; what was itself carried from a third scan is not carried on.
 */
function lacking(from: SpanEnd, to: SpanEnd): Mark[] {
  const stands = (mark: Mark): boolean =>
    to.landmarks.inUse.some((m) => m.place === mark.place && m.tooth === mark.tooth) ||
    to.landmarks.faults.some(
      ({ landmark }) => landmark.place === mark.place && (landmark.tooth ?? null) === mark.tooth,
    ) ||
    to.covered.some((spot) => spot.place === mark.place && spot.tooth === mark.tooth);
  const away = (mark: Mark): boolean => mark.tooth !== null && to.away.some(({ tooth }) => tooth === mark.tooth);
  return from.landmarks.inUse.filter((mark) => !isCarried(mark) && !stands(mark) && !away(mark));
}

/** Why nothing is registered where a scan has no arch frame: the scan's own reason, or that it is a mirror image. */
function unframed(first: SpanEnd, second: SpanEnd, job: JobControl): NotRegistered {
  const reason = withoutFrame(first, second);
  const ends = [first, second];
  const told = ends.some(({ landmarks }) => landmarks.notices.some(({ code }) => code === RIGHT_AND_LEFT));
  const marked = ends.every(({ landmarks }) => landmarks.inUse.length > 0);
  return (marked && !told ? mirrorImage(first, second, job) : null) ?? reason;
}

function mirrorImage(first: SpanEnd, second: SpanEnd, job: JobControl): NotRegistered | null {
  job.progress(0, "Comparing the shapes of the scans");
  return isMirroredArch(first.scan!.registration(), second.scan!.registration(), job)
    ? { code: "registration-failed", text: MIRRORED_SHAPE, suspected: true }
    : null;
}

/** First → second, good to some millimetres; or why there is none. */
function roughPosition(first: SpanEnd, second: SpanEnd, job: JobControl): RigidTransform | NotRegistered {
  const marks = ({ landmarks }: SpanEnd) => landmarks.inUse.map(asLandmark);
  try {
    return landmarkStart(marks(first), marks(second), "The arch").transform;
  } catch (thrown) {
    if (!(thrown instanceof RapheError)) throw thrown;
  }
  job.progress(0, "Laying the scans on each other");
  try {
    const { transform, lead } = coarsePose(
      first.scan!.registration(),
      second.scan!.registration(),
      partOf(job, 0, 0.5),
    );
    if (lead >= LEAST_LEAD) return transform;
    return (
      mirrorImage(first, second, partOf(job, 0.5, 1)) ??
      unlaid("the scans fit on each other in more than one way; three landmarks on both scans would tell")
    );
  } catch (thrown) {
    if (!(thrown instanceof RapheError) || thrown.code === "cancelled") throw thrown;
    return (
      mirrorImage(first, second, partOf(job, 0.5, 1)) ??
      unlaid(`the scans could not be laid on each other: ${thrown.problem}. ${thrown.remedy}`)
    );
  }
}

/** Both ends with the missing landmarks where the rough position has them, so that frames and regions can be found. */
function draftEnds(
  ends: readonly [SpanEnd, SpanEnd],
  toFirst: readonly Mark[],
  toSecond: readonly Mark[],
  rough: RigidTransform,
): [SpanEnd, SpanEnd] {
  const back = invert(rough);
  const moved = (mark: Mark, by: RigidTransform): Mark => ({
    tooth: mark.tooth,
    place: mark.place,
    placed: apply(by, mark.used),
    used: apply(by, mark.used),
    how: "carried",
  });
  const [first, second] = ends;
  const own = [teethOf(first), teethOf(second)] as const;
  // A tooth that has landmarks of its own keeps to them: a rough one would blur where its crown is.
  const added = [
    toFirst.filter((m) => isPalatal(m) || !own[0].has(m.tooth!)).map((m) => moved(m, back)),
    toSecond.filter((m) => isPalatal(m) || !own[1].has(m.tooth!)).map((m) => moved(m, rough)),
  ] as const;
  const marks = ends.map((end, i): Mark[] => [...end.landmarks.inUse, ...added[i]!]);
  const pairs = commonPlanePairs(marks.map((list) => list.map(asLandmark)));
  const [a, b] = ends.map((end, i): SpanEnd => {
    const frame = end.landmarks.frame ?? frameOf(marks[i]!.map(asLandmark), pairs, end.timepoint.name).frame;
    return {
      ...end,
      landmarks: {
        ...end.landmarks,
        frame,
        inUse: marks[i]!.map((m) => ({ ...m, inFrame: frame === null ? null : inFrame(frame, m.used) })),
      },
    };
  });
  return [a!, b!];
}

interface NotCarried {
  readonly mark: Mark;
  readonly code: "needs-landmark" | "masked";
  readonly text: string;
}

/** Why a point could not be carried. */
type Refusal = Omit<NotCarried, "mark">;

const needing = (text: string): Refusal => ({ code: "needs-landmark", text });

/** A landmark of one scan on the other, or why it could not be carried. */
function carriedTo(
  end: "first" | "second",
  mark: Mark,
  [first, second]: readonly [SpanEnd, SpanEnd],
  forward: readonly CrownRegistration[],
  backward: readonly CrownRegistration[],
  palate: HalvesRegistration,
  job: JobControl,
): Mark | NotCarried {
  const [from, to, way] =
    end === "second" ? ([first, second, "along"] as const) : ([second, first, "against"] as const);
  const found = isPalatal(mark) ? palatal(mark, from, to, way, palate, job) : onCrown(end, mark, forward, backward);
  if ("text" in found) return { mark, ...found };
  if (touchesMask(to.scan!.surface, found.at)) {
    return {
      mark,
      code: "masked",
      text: "the appliance covers its place; wipe the mask there if the surface itself is seen",
    };
  }
  return {
    tooth: mark.tooth,
    place: mark.place,
    placed: found.at,
    used: found.at,
    how: "carried",
    carried: found.error,
  };
}

function onCrown(
  end: "first" | "second",
  mark: Mark,
  forward: readonly CrownRegistration[],
  backward: readonly CrownRegistration[],
): CarriedPoint | Refusal {
  const of = (list: readonly CrownRegistration[]) => list.find(({ frame }) => frame.tooth === mark.tooth)?.result;
  const along = of(forward);
  const against = of(backward);
  if (along?.state === "fitted") {
    return end === "second" ? carried(mark.used, along.fit) : carriedBack(mark.used, along.fit);
  }
  if (against?.state === "fitted") {
    return end === "first" ? carried(mark.used, against.fit) : carriedBack(mark.used, against.fit);
  }
  const refused = along ?? against;
  if (refused?.state !== "refused") return needing("its crown could not be found");
  const { code, text } = refused.reason;
  return { code: code === "masked" ? code : "needs-landmark", text };
}

/** Papilla and raphe lie on the tissue stretched between the halves. */
function palatal(
  { used }: Mark,
  from: SpanEnd,
  to: SpanEnd,
  way: "along" | "against",
  { of, right, left }: HalvesRegistration,
  job: JobControl,
): CarriedPoint | Refusal {
  if (of === "crowns") return needing("a point of the palate is carried by the palate, and a scan shows none");
  if (right.state === "failed" || left.state === "failed") {
    return needing(
      "both halves of the palate are needed to carry a point between them, and one could not be registered",
    );
  }
  const found = palatalPoint(used, {
    from: from.scan!.registration(),
    to: to.scan!.registration(),
    toFrame: from.landmarks.frame!.toFrame,
    right: right.fit.fit,
    left: left.fit.fit,
    way,
    job,
  });
  if ("at" in found) return found;
  return needing(`the place between the halves lies ${found.away.toFixed(1)} mm off the surface`);
}

/** Both ends with what was carried, their frames from all of it, and with the reasons of what was not. */
function finished(
  ends: readonly [SpanEnd, SpanEnd],
  drafts: readonly [SpanEnd, SpanEnd],
  arrived: readonly [readonly (Mark | NotCarried)[], readonly (Mark | NotCarried)[]],
): [SpanEnd, SpanEnd] {
  const reached = arrived.map((list) => list.flatMap((one) => ("mark" in one ? [] : [one])));
  const pairs = commonPlanePairs(ends.map((end, i) => [...end.landmarks.inUse, ...reached[i]!].map(asLandmark)));
  const [a, b] = ends.map((end, i): SpanEnd => {
    const occlusal = scale(headOf(drafts[i]!.landmarks.frame!), -1);
    const { timepoint, scan } = end;
    const wrongSide = end.landmarks.faults.filter(({ error }) => error.code === RIGHT_AND_LEFT);
    const landmarks = landmarksWithCarried(
      scan!.surface,
      timepoint.landmarks.filter((mark) => !wrongSide.some(({ landmark }) => sameSpot(landmark, mark))),
      [...end.landmarks.inUse.filter(isCarried), ...reached[i]!],
      pairs,
      occlusal,
      end.landmarks.frame,
      timepoint.name,
    );
    return {
      ...end,
      landmarks: {
        ...landmarks,
        faults: [...wrongSide, ...landmarks.faults],
        notices: [...end.landmarks.notices.filter(({ code }) => code === RIGHT_AND_LEFT), ...landmarks.notices],
      },
      notCarried: [
        ...(end.notCarried ?? []),
        ...arrived[i]!.flatMap((one) => ("mark" in one ? [reasonOf(one, end)] : [])),
      ],
    };
  });
  return [a!, b!];
}

const reasonOf = ({ mark, code, text }: NotCarried, { timepoint }: SpanEnd) => ({
  tooth: mark.tooth,
  place: mark.place,
  code,
  text: `needs the ${landmarkWords({ tooth: mark.tooth ?? undefined, place: mark.place })} on the ${timepoint.name} scan; it could not be carried over: ${text}`,
});

function withReasons(
  [first, second]: readonly [SpanEnd, SpanEnd],
  toFirst: readonly Mark[],
  toSecond: readonly Mark[],
  text: string,
): [SpanEnd, SpanEnd] {
  const plain = text.charAt(0).toLowerCase() + text.slice(1).replace(/\.$/, "");
  const reasons = (end: SpanEnd, marks: readonly Mark[]) => [
    ...(end.notCarried ?? []),
    ...marks.map((mark) => reasonOf({ mark, ...needing(plain) }, end)),
  ];
  return [
    { ...first, notCarried: reasons(first, toFirst) },
    { ...second, notCarried: reasons(second, toSecond) },
  ];
}

/** The earlier scan's points on the later one, of the spots placed by hand on both. */
function besideOf(
  [first, second]: readonly [SpanEnd, SpanEnd],
  registered: SpanRegistration | null,
  job: JobControl,
): MeasuredPoint[] {
  if (registered === null) return [];
  const { crowns, palate } = registered;
  return first.landmarks.inUse.flatMap((mark): MeasuredPoint[] => {
    if (mark.how === "carried" || mark.place === "median-raphe") return [];
    const partner = second.landmarks.inUse.find((m) => m.tooth === mark.tooth && m.place === mark.place);
    if (partner === undefined || partner.how === "carried") return [];
    const found = isPalatal(mark)
      ? palatal(mark, first, second, "along", palate, job)
      : onCrown("second", mark, crowns, []);
    if ("text" in found || touchesMask(second.scan!.surface, found.at)) return [];
    const { frame } = second.landmarks;
    return [
      {
        tooth: mark.tooth,
        place: mark.place,
        at: found.at,
        inFrame: frame === null ? null : inFrame(frame, found.at),
        carried: found.error,
      },
    ];
  });
}
