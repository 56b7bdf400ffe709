import { placeWords } from "../arch/landmark";
import { isRight } from "../arch/teeth";
import { atan2, DEGREES } from "../geometry/real";
import type { Vector3 } from "../geometry/vector";
import { ratioInterval } from "../statistics/fieller";
import { coverageFactor95 } from "../statistics/quantiles";
import { WIDTHS, type WidthDefinition } from "./catalogue";
import { pairWords } from "./numbers-in-words";
import type { Given, Interval, Quantity, WidthReading, Withheld } from "./readings-document";
import type { TippingReading } from "./tipping-document";
import { type Assumptions, pointFigure, quantity, scannerAcross } from "./uncertainty";
import { type PointSet, pointOf, type Stations, shareAlongArch, stationsFrom } from "./width";

/** Distance from canines to first molars where the landmarks do not tell it, mm: average crowns. */
const USUAL_LENGTH = 21;

const given = <T>(reading: T): Given<T> => ({ state: "given", reading });
const withheld = (code: Withheld["code"], text: string, needs: Withheld["needs"] = []) =>
  ({ state: "withheld", reason: { code, text, needs } }) as const;

/**
 * Tipping as the two levels of each pair tell it: the ratio B = Δ(gingival)/Δ(cusp), the place about which the crowns
 * seem to have turned, h·B/(1 − B) above the gingival points (a crown turning about a point p above them moves them by p
 * and the cusps by p + h), and the angle between gingival point and cusp in the frontal plane.
 * @param first the earlier scan's points, which give heights and stations
 * @param widths of the span, in which a pair takes part that has both levels
 * @param registered teeth whose crown's own registration gives its tipping
 */
export function readTipping(
  first: PointSet,
  second: PointSet,
  widths: readonly WidthReading[],
  registered: ReadonlySet<number>,
  assumptions: Assumptions,
): TippingReading[] {
  const stations = stationsFrom(first);
  const of = (pair: string, level: WidthReading["level"]) => widths.find((w) => w.pair === pair && w.level === level);
  return widths.flatMap((cusp): TippingReading[] => {
    const gingival = of(cusp.pair, "palatal-gingival");
    if (cusp.level !== "cusp-tip" || gingival === undefined) return [];
    const places = {
      cusp: WIDTHS.find((d) => d.pair.name === cusp.pair && d.level === "cusp-tip")!,
      gingival: WIDTHS.find((d) => d.pair.name === cusp.pair && d.level === "palatal-gingival")!,
    };
    const height = heightOf(first, places);
    const ratio = ratioOf(cusp, gingival, stations, assumptions);
    return [
      {
        pair: cusp.pair,
        gingivalToCusp: ratio,
        pivotAboveGingival: pivotOf(ratio, height, assumptions),
        height,
        anglesFromPoints: cusp.teeth
          .filter((tooth) => !registered.has(tooth))
          .map((tooth) => ({ tooth, angle: angleOf(tooth, [first, second], places, stations, assumptions) })),
      },
    ];
  });
}

interface Places {
  readonly cusp: WidthDefinition;
  readonly gingival: WidthDefinition;
}

/** B with its Fieller interval, where the change at the cusps exceeds twice its uncertainty. */
function ratioOf(
  cusp: WidthReading,
  gingival: WidthReading,
  stations: Stations,
  assumptions: Assumptions,
): Given<Interval> {
  if (gingival.change.state === "withheld") return gingival.change;
  if (cusp.change.state === "withheld") return cusp.change;
  const [g, c] = [gingival.change.reading, cusp.change.reading];
  const variance = (q: Quantity) => q.standardUncertainty * q.standardUncertainty;
  const across = ({ pair, level, station }: WidthReading) =>
    scannerAcross(assumptions, shareAlongArch(pair, level, station, stations));
  // The scanner spreads both levels of a pair together. Two points of one crown share its registration, turned or
  // shifted: taken as opposed, the worst for a ratio.
  const together =
    2 * across(cusp) * across(gingival) -
    Math.sign(g.value * c.value) * g.components.registration * c.components.registration;
  const k = Math.max(g.coverageFactor, c.coverageFactor);
  const ends = ratioInterval(g.value, variance(g), c.value, variance(c), together, k);
  if (Math.abs(c.value) <= 2 * c.expandedUncertainty || ends === null) {
    return withheld(
      "denominator-within-error",
      `the change of the cusp tips at ${pairWords(cusp.pair)} is too close to its measurement error to divide by it`,
    );
  }
  return given({ value: g.value / c.value, ...ends });
}

/** The apparent pivot in the frontal view, only where B lies between 0 and 1 beyond its error. */
function pivotOf(ratio: Given<Interval>, height: number | null, assumptions: Assumptions): Given<Interval> {
  if (ratio.state === "withheld") return ratio;
  const { value: b, low, high } = ratio.reading;
  if (low <= 0 || high >= 1) {
    return withheld(
      "angle-within-error",
      "a pivot is given only where the ratio lies between 0 and 1 beyond its measurement error",
    );
  }
  if (height === null || height <= 0)
    return withheld(
      "frame-not-possible",
      height === null
        ? "needs the arch frame of the earlier scan"
        : "the cusp tips do not lie below the gingival points on the earlier scan",
    );
  const at = (share: number) => (height * share) / (1 - share);
  const pivot = at(b);
  // The mean height of two sides, each from two points.
  const { pointWidth, degreesOfFreedom } = pointFigure(assumptions);
  const byHeight = (coverageFactor95(degreesOfFreedom) * (pointWidth / Math.SQRT2) * pivot) / height;
  return given({
    value: pivot,
    low: pivot - Math.hypot(pivot - at(low), byHeight),
    high: pivot + Math.hypot(at(high) - pivot, byHeight),
  });
}

/** From the gingival point to the cusp in the arch frame, or null. */
function toCusp(set: PointSet, tooth: number, { cusp, gingival }: Places): Vector3 | null {
  const [c, g] = [pointOf(set, tooth, cusp.place)?.inFrame, pointOf(set, tooth, gingival.place)?.inFrame];
  return c == null || g == null ? null : [c[0] - g[0], c[1] - g[1], c[2] - g[2]];
}

function heightOf(first: PointSet, places: Places): number | null {
  const { right, left } = places.cusp.pair;
  const [a, b] = [toCusp(first, right, places), toCusp(first, left, places)];
  return a === null || b === null ? null : -(a[2] + b[2]) / 2;
}

/**
 * Tipping of a tooth to the cheek between the scans, degrees: change of the direction from gingival point to cusp in
 * the frontal plane of each scan's arch frame.
 */
function angleOf(
  tooth: number,
  sets: readonly [PointSet, PointSet],
  places: Places,
  stations: Stations,
  assumptions: Assumptions,
): Given<Quantity> {
  const vectors = sets.map((set) => toCusp(set, tooth, places));
  if (sets[1].notComparable !== undefined) return { state: "withheld", reason: sets[1].notComparable };
  const lacking = sets.find((_, i) => vectors[i] === null);
  if (lacking !== undefined) {
    const { text, needs } = lackingAt(lacking, tooth, places);
    return withheld(needs.length === 0 ? "frame-not-possible" : "needs-landmark", text, needs);
  }
  const [before, after] = vectors as [Vector3, Vector3];
  const toCheek = isRight(tooth) ? -1 : 1;
  const direction = ([x, , z]: Vector3) => atan2(toCheek * x, -z);
  // Each scan's direction is off by the errors of two points across the distance between them.
  const own = [pointFigure(assumptions, places.cusp.level), pointFigure(assumptions, places.gingival.level)];
  const squares = own.reduce((sum, { pointWidth }) => sum + (pointWidth * pointWidth) / 2, 0);
  const variance = [before, after].reduce((sum, [x, , z]) => sum + squares / (x * x + z * z), 0);
  const { canines, molars } = stations.named("cusp-tip");
  const [front, back] = [stations.front("cusp-tip"), stations.back("cusp-tip")];
  const known = canines && molars && front !== null && back !== null && back - front >= 5;
  const { atCanines, atMolars } = assumptions.scanner;
  const turn = (Math.SQRT2 * Math.abs(atMolars - atCanines)) / (known ? back - front : USUAL_LENGTH) / 2;
  return given(
    quantity(
      (direction(after) - direction(before)) * DEGREES,
      { point: Math.sqrt(variance) * DEGREES, registration: 0, scanner: turn * DEGREES },
      Math.min(...own.map(({ degreesOfFreedom }) => degreesOfFreedom)),
    ),
  );
}

function lackingAt(set: PointSet, tooth: number, places: Places): Pick<Withheld, "text" | "needs"> {
  const needs = [places.cusp.place, places.gingival.place]
    .filter((place) => pointOf(set, tooth, place) === undefined)
    .map((place) => ({ timepoint: set.timepoint, tooth, place }));
  const words = needs.map(({ place }) => placeWords(place));
  return needs.length === 0
    ? { text: `needs the arch frame of the ${set.timepoint} scan`, needs }
    : { text: `needs the ${words.join(" and the ")} of ${tooth} on the ${set.timepoint} scan`, needs };
}
