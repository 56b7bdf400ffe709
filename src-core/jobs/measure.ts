import { placeWords } from "../arch/landmark";
import type { LandmarkInUse, ScanLandmarks } from "../arch/landmarks-in-use";
import type { Timepoint } from "../case/timepoint";
import { checkCancelled, type JobControl, partOf } from "../job-control";
import { CARRIED_POINTS, CAUTIONS, carriedFromThird, REFOUND_POINTS } from "../readings/cautions";
import { halvesAgreement } from "../readings/headline";
import { implausibleWidths } from "../readings/plausibility";
import type { Readings, Warning } from "../readings/readings-document";
import { readSpan } from "../readings/span-readings";
import { readTipping } from "../readings/tipping";
import type { MeasuredPoint } from "../readings/width";
import { archReadings } from "./arch-readings";
import { carryOver } from "./carry-over";
import { registeredTeeth } from "./crown-readings";
import type { JobAnswer, JobRequest } from "./job-list";
import { landmarkSource } from "./landmark-source";
import { layOver, nothingLaidOver, ofPalate } from "./lay-over";
import { paintingWarnings } from "./painting-warnings";
import { recordReadings, recordWarnings } from "./record-readings";
import { repeated } from "./repeat-sets";
import type { ScanStore } from "./scan-store";
import { endBefore, lowerEnd, pointSet, type SpanEnd, spanEnds } from "./span-end";
import { crownsThere, toothWarnings } from "./teeth-there";

/**
 * Everything that can be read from the case's chosen span: widths and pattern from the landmarks, the later scan laid
 * on the earlier one by the palate, and the distance between them. What cannot be read is withheld with its reason;
 * with one scan only, the readings on that scan are made.
 * @throws RapheError `bad-request` for a span that names no timepoint, `cancelled`
 */
export function measure(request: JobRequest<"measure">, store: ScanStore, job: JobControl): JobAnswer<"measure"> {
  const { document, handles, painted, version } = request;
  job.progress(0, "Finding the landmarks' spots");
  const placed = spanEnds(document, handles, store, painted);
  const { repeats, assumptions } = repeated(request, store);
  checkCancelled(job);
  const { ends: sourced, source } = landmarkSource(request, store, placed, partOf(job, 0, 0.4));
  const { ends, registered, beside, refusal } = carryOver(sourced, partOf(job, source === null ? 0.2 : 0.4, 0.8));
  const [first, second] = ends;
  const words = first.timepoint.kind === "after" && second.timepoint.kind === "retention" ? "retention" : "expansion";
  const span = readSpan(pointSet(first), pointSet(second), assumptions, words, {
    timepoint: second.timepoint.name,
    points: beside,
    faults: [],
  });
  const laid =
    first.scan === null || second.scan === null
      ? nothingLaidOver(`needs the ${(first.scan === null ? first : second).timepoint.name} scan`)
      : layOver(first, second, registered?.palate ?? refusal!, assumptions, partOf(job, 0.8, 1));
  const expansion = words === "expansion";
  const names: [string, string] = [first.timepoint.name, second.timepoint.name];
  const crowns = crownsThere(ends, registered, assumptions);
  const arch = archReadings(ends, registeredTeeth(crowns), expansion, assumptions);
  const lowers = [lowerEnd(first.timepoint, handles, store), lowerEnd(second.timepoint, handles, store)] as const;
  const scans = [...ends, ...lowers.filter((end) => end !== null)];
  const { record, needs } = recordReadings(
    document,
    { ends, lowers, before: words === "retention" ? endBefore(document, handles, store, painted) : null },
    { widths: span.widths, halves: ofPalate(laid.halves), words },
    assumptions,
  );
  const readings: Readings = {
    version: 1,
    software: { name: "Raphe", version },
    invented: document.invented,
    span: { from: names[0], to: names[1], words },
    scans: scans.flatMap(scanReading),
    assumptions: {
      pointWidth: document.settings.pointWidth,
      scannerAtCanines: document.settings.scanner.atCanines,
      scannerAtMolars: document.settings.scanner.atMolars,
      scannerLocal: document.settings.scanner.local,
      delta: document.settings.delta,
    },
    frames: ends.flatMap(frameReading),
    widths: span.widths,
    patterns: span.patterns,
    headline: span.headline,
    because: [span.because, halvesAgreement(span.patterns, laid.halves, words)].filter((text) => text !== "").join(" "),
    registrations: laid.registrations,
    halves: laid.halves,
    ...crowns,
    tipping: readTipping(pointSet(first), pointSet(second), span.widths, registeredTeeth(crowns), assumptions),
    ...record,
    repeats,
    arch: arch.arch,
    distance: laid.distance,
    landmarks: scans.flatMap(({ timepoint, landmarks }) =>
      landmarks.inUse.map((mark) =>
        landmarkReading(
          timepoint,
          mark,
          placedOn(mark, timepoint, ends, source),
          timepoint === second.timepoint ? beside : [],
        ),
      ),
    ),
    warnings: [
      ...ends.flatMap(toothWarnings),
      ...scans.flatMap(landmarkWarnings),
      ...scans.flatMap(scanWarnings),
      ...paintingWarnings(first, second),
      ...exchangedLandmarks(placed[0], placed[1], request, store),
      ...implausibleWidths(span.widths, names, expansion),
      ...recordWarnings(record),
      ...laid.warnings,
    ],
    asked: span.asked + laid.asked + arch.asked + needs,
    made: span.made + laid.made + arch.made + needs,
    cautions: [...CAUTIONS, ...pointCautions(first, second), ...(source === null ? [] : [carriedFromThird(source)])],
  };
  job.progress(1, "Measured");
  return { readings, overlay: laid.overlay, frame: first.landmarks.frame?.toFrame ?? null };
}

/** What is to be known of points placed anew and of points carried over. */
function pointCautions(first: SpanEnd, second: SpanEnd): string[] {
  const placed = ({ landmarks }: SpanEnd) => landmarks.inUse.filter(({ how }) => how !== "carried");
  const carried = [first, second].some((end) => placed(end).length < end.landmarks.inUse.length);
  const anew = placed(second).some(({ tooth, place }) =>
    placed(first).some((mark) => mark.tooth === tooth && mark.place === place),
  );
  return [...(carried ? [CARRIED_POINTS] : []), ...(anew || !carried ? [REFOUND_POINTS] : [])];
}

const scanReading = ({ timepoint, scan }: SpanEnd): Readings["scans"] =>
  scan === null
    ? []
    : [
        {
          timepoint: timepoint.name,
          sha256: scan.intake.report.sha256.slice(0, 12),
          format: scan.intake.report.format,
          triangles: scan.intake.report.triangles.used,
          vertices: scan.intake.report.vertices.used,
          unit: scan.intake.report.unit,
        },
      ];

const frameReading = ({ timepoint, landmarks: { frame } }: SpanEnd): Readings["frames"] =>
  frame === null
    ? []
    : [
        {
          timepoint: timepoint.name,
          label: frame.label,
          rotation: [...frame.toFrame.rotation],
          translation: [...frame.toFrame.translation],
        },
      ];

const landmarkReading = (
  timepoint: Timepoint,
  mark: LandmarkInUse,
  placedOn: string,
  beside: readonly MeasuredPoint[],
): Readings["landmarks"][number] => ({
  timepoint: timepoint.name,
  tooth: mark.tooth,
  place: mark.place,
  placed: [...mark.placed],
  used: [...mark.used],
  how: mark.how,
  placedOn,
  carried: besideOf(mark, beside),
});

/** The timepoint that a landmark was placed on. */
function placedOn(
  { tooth, place, how }: LandmarkInUse,
  timepoint: Timepoint,
  ends: readonly SpanEnd[],
  source: string | null,
): string {
  if (how !== "carried") return timepoint.name;
  const other = ends.find(({ landmarks }) =>
    landmarks.inUse.some((mark) => mark.how !== "carried" && mark.tooth === tooth && mark.place === place),
  );
  return other?.timepoint.name ?? source ?? timepoint.name;
}

function besideOf(mark: LandmarkInUse, beside: readonly MeasuredPoint[]): [number, number, number] | null {
  const found = beside.find((point) => point.tooth === mark.tooth && point.place === mark.place);
  return found === undefined ? null : [...found.at];
}

/** More landmarks off the surface than this are one warning: their number, not each of them, is the news. */
const FAULTS_NAMED = 3;

const offSurface = ({ faults }: ScanLandmarks) => faults.filter(({ error }) => error.code === "landmark-off-surface");

/** Faults and notices of the landmarks, and cusps or margins that could not be found where one was placed. */
function landmarkWarnings({ timepoint, landmarks }: SpanEnd): Warning[] {
  const warning = (code: string, text: string): Warning => ({ code, timepoint: timepoint.name, text });
  // Teeth on the wrong side are one notice of their scan.
  const faults = offSurface(landmarks);
  const unsnapped = landmarks.inUse.filter(
    ({ place, how }) =>
      how === "dropped-to-surface" &&
      (place.endsWith("cusp-tip") || place.endsWith("gingival") || place === "central-fossa"),
  );
  const astray =
    faults.length > FAULTS_NAMED
      ? [
          warning(
            "landmark-off-surface",
            `${faults.length} of ${timepoint.landmarks.length} landmarks of the ${timepoint.name} scan lie more than 1 mm away from its surface: they belong to another scan, or its unit is not what it was taken for.`,
          ),
        ]
      : faults.map(({ error }) => warning(error.code, error.message));
  return [
    ...astray,
    ...landmarks.notices.map(({ code, text }) => warning(code, text)),
    ...unsnapped.map(({ tooth, place }) =>
      warning(
        "spot-not-found",
        `On the ${timepoint.name} scan no ${placeWords(place)} was found within 1.2 mm of the point placed for ${tooth}; it is used where it was placed.`,
      ),
    ),
  ];
}

const scanWarnings = ({ timepoint, scan }: SpanEnd): Warning[] =>
  scan === null ? [] : scan.intake.report.warnings.map((text) => ({ code: "scan", timepoint: timepoint.name, text }));

/** Where most landmarks hang in the air on both scans but would lie on the other one, they were exchanged. */
function exchangedLandmarks(
  first: SpanEnd,
  second: SpanEnd,
  { document, handles, painted }: JobRequest<"measure">,
  store: ScanStore,
): Warning[] {
  const astray = (end: SpanEnd) => offSurface(end.landmarks).length > 0.5 * end.timepoint.landmarks.length;
  if (first.scan === null || second.scan === null || !astray(first) || !astray(second)) return [];
  const crossed = spanEnds(
    {
      ...document,
      timepoints: document.timepoints.map((t) => {
        if (t.name === first.timepoint.name) return { ...t, landmarks: second.timepoint.landmarks };
        return t.name === second.timepoint.name ? { ...t, landmarks: first.timepoint.landmarks } : t;
      }),
    },
    handles,
    store,
    painted,
  );
  if (crossed.some(astray)) return [];
  return [
    {
      code: "scans-exchanged",
      timepoint: null,
      text: `The landmarks of ${first.timepoint.name} lie on the ${second.timepoint.name} scan and the other way round: the two scans have been exchanged. Exchange them back.`,
    },
  ];
}
