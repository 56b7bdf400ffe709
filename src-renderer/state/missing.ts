import { type Landmark, landmarkWords, Place, sameSpot } from "#core/arch/landmark";
import type { CaseDocument } from "#core/case/case-document";
import { teethAway } from "#core/case/tooth-standing";
import { FIRST_ASKED } from "#core/readings/catalogue";
import type { Given, Readings, Withheld } from "#core/readings/readings-document";
import type { Target } from "./workspace";

/** Raphe points that are asked for: two fix a line, the third shows how sure it is. */
export const RAPHE_POINTS = 3;

/** Names a spot on any scan: a tooth that is not there is not there at any time. */
export const spotKey = (spot: { tooth?: number | undefined; place: string }): string =>
  `${spot.tooth ?? "palate"} ${spot.place}`;

type Spot = Omit<Target, "timepoint">;

// Cusps first, front to back, since every case has them; then the palate, which gives the frame; then the margins.
const ORDER: readonly Spot[] = [
  ...spotsAt("cusp-tip"),
  { place: "incisive-papilla" },
  { place: "median-raphe" },
  ...spotsAt("palatal-gingival"),
];

function spotsAt(level: string): Spot[] {
  return FIRST_ASKED.filter((asked) => asked.level === level).flatMap(({ pair, place }) => [
    { tooth: pair.right, place },
    { tooth: pair.left, place },
  ]);
}

const isThere = (spot: Spot, landmarks: readonly Landmark[]): boolean =>
  spot.place === "median-raphe"
    ? landmarks.filter((mark) => mark.place === "median-raphe").length >= RAPHE_POINTS
    : landmarks.some((mark) => sameSpot(mark, spot));

/** Spots that the measurement carried over from the other scan: they need not be placed, though they can be. */
function isCarried(spot: Spot, timepoint: string, readings: Readings | null): boolean {
  const carried = (readings?.landmarks ?? []).filter((mark) => mark.timepoint === timepoint && mark.how === "carried");
  const same = carried.filter((mark) => (mark.tooth ?? undefined) === spot.tooth && mark.place === spot.place);
  return same.length >= (spot.place === "median-raphe" ? RAPHE_POINTS : 1);
}

/** What withheld readings say would help them. */
function needed(readings: Readings | null): Target[] {
  if (readings === null) return [];
  const reasons: Given<unknown>[] = readings.widths.flatMap((width) => [width.before, width.after, width.change]);
  return reasons.flatMap((given) => (given.state === "withheld" ? targetsOf(given.reason) : []));
}

/** The landmarks that a withheld reading asks for. */
export function targetsOf(reason: Withheld): Target[] {
  return reason.needs.flatMap((need) => {
    const place = Place.safeParse(need.place);
    return place.success ? [{ timepoint: need.timepoint, tooth: need.tooth, place: place.data }] : [];
  });
}

/**
 * The landmarks to be placed next, scan after scan: the usual ones, those that the other scan of the span has, and
 * those that withheld readings ask for, without what was passed over or carried over and teeth that are not there.
 */
export function missingLandmarks(
  document: CaseDocument,
  readings: Readings | null,
  passedOver: readonly string[],
): Target[] {
  const compared = [document.span.from, document.span.to];
  const timepoints = document.timepoints.filter((t) => compared.includes(t.name) && t.scan !== null);
  const spots: Spot[] = [...ORDER];
  const add = (spot: Spot) => {
    if (!spots.some((known) => spotKey(known) === spotKey(spot))) spots.push({ tooth: spot.tooth, place: spot.place });
  };
  for (const timepoint of timepoints) timepoint.landmarks.forEach(add);
  needed(readings).forEach(add);
  return timepoints.flatMap((timepoint) => {
    const away = new Set(teethAway(document, timepoint).map(({ tooth }) => tooth));
    return spots
      .filter(
        (spot) =>
          !(spot.tooth !== undefined && away.has(spot.tooth)) &&
          !passedOver.includes(spotKey(spot)) &&
          !isThere(spot, timepoint.landmarks) &&
          !isCarried(spot, timepoint.name, readings),
      )
      .map((spot) => ({ ...spot, timepoint: timepoint.name }));
  });
}

/** 'cusp tip of 13', 'median palatal raphe, point 2 of 3'. */
export function targetWords(target: Target, landmarks: readonly Landmark[]): string {
  const words = landmarkWords(target);
  if (target.place !== "median-raphe") return words;
  const placed = landmarks.filter((mark) => mark.place === "median-raphe").length;
  return placed >= RAPHE_POINTS ? `${words}, one more point` : `${words}, point ${placed + 1} of ${RAPHE_POINTS}`;
}
