import type { CarriedError } from "../arch/carried-error";
import type { Place } from "../arch/landmark";
import { landmarkWords } from "../arch/landmark";
import { UPPER_PAIRS } from "../arch/teeth";
import type { ToothAway } from "../case/tooth-standing";
import { distance, dot, subtract, unit, type Vector3 } from "../geometry/vector";
import { WIDTHS, type WidthDefinition } from "./catalogue";
import { stationFromNeighbours } from "./neighbour-station";
import type { Given, Quantity, WidthReading, Withheld } from "./readings-document";
import { awayReason, changeAwayReason } from "./tooth-reasons";
import {
  type Assumptions,
  type Components,
  changeComponents,
  pointFigure,
  quantity,
  usualShare,
  widthComponents,
  withinError,
} from "./uncertainty";

/** A landmark as used for measuring: file coordinates (mm) and, where the scan has a frame, arch frame (mm). */
export interface MeasuredPoint {
  readonly tooth: number | null;
  readonly place: Place;
  readonly at: Vector3;
  readonly inFrame: Vector3 | null;
  /** Where it was carried over from the other scan by a registration: what that adds to its error. */
  readonly carried?: CarriedError | undefined;
}

/** The points of one timepoint; `faults` holds the landmarks that stand there but cannot be used, with their reason. */
export interface PointSet {
  readonly timepoint: string;
  readonly points: readonly MeasuredPoint[];
  readonly faults: readonly {
    tooth: number | null;
    place: Place;
    code: "landmark-off-surface" | "needs-landmark" | "masked";
    text: string;
  }[];
  /** Teeth that do not stand on this scan. */
  readonly away?: readonly ToothAway[];
  /** Of the later scan: why nothing may be compared with the earlier one, if so. */
  readonly notComparable?: Withheld | undefined;
}

/** How far behind the canines each place stands on the first scan, and the distance from canines to first molars. */
export interface Stations {
  /** y in the arch frame of the pair's middle, from the first scan; null where unknown. */
  of(definition: WidthDefinition): number | null;
  /** The canines' at that level; the foremost pair's where the canines have none. */
  front(level: WidthDefinition["level"]): number | null;
  /** The first molars' at that level; the hindmost pair's where they have none. */
  back(level: WidthDefinition["level"]): number | null;
  /** Whether `front` really is the canines' and `back` really the first molars'. */
  named(level: WidthDefinition["level"]): { canines: boolean; molars: boolean };
}

/** The point that stands at a tooth's place, if one does. */
export const pointOf = (set: PointSet, tooth: number, place: Place): MeasuredPoint | undefined =>
  set.points.find((point) => point.tooth === tooth && point.place === place);

/** y of a pair's middle, of the side that is there, or null. */
function stationOf(set: PointSet, definition: WidthDefinition): number | null {
  const ys = [definition.pair.right, definition.pair.left]
    .map((tooth) => pointOf(set, tooth, definition.place)?.inFrame?.[1])
    .filter((y) => y !== undefined);
  return ys.length === 0 ? null : ys.reduce((a, b) => a + b, 0) / ys.length;
}

/**
 * Stations from the first scan of a span. A missing tooth's station comes from the other side, then the other level,
 * then from its neighbours.
 */
export function stationsFrom(first: PointSet): Stations {
  const own = (name: string, level: WidthDefinition["level"]): number | null => {
    const same = WIDTHS.filter((d) => d.pair.name === name).sort(
      (a, b) => Number(b.level === level) - Number(a.level === level),
    );
    for (const definition of same) {
      const y = stationOf(first, definition);
      if (y !== null) return y;
    }
    return null;
  };
  const fromNeighbours = (name: string): number | null => {
    const pair = UPPER_PAIRS.find((one) => one.name === name)!;
    const missing = (first.away ?? []).filter(({ tooth }) => tooth === pair.right || tooth === pair.left);
    // Where a space was closed there is no such place any more.
    const gap = missing.length > 0 && missing.every(({ why }) => why !== "space-closed");
    return gap ? stationFromNeighbours(first, pair) : null;
  };
  const canines = (level: WidthDefinition["level"]) =>
    own("3-3", level) ?? own("III-III", level) ?? fromNeighbours("3-3");
  const molars = (level: WidthDefinition["level"]) => own("6-6", level) ?? fromNeighbours("6-6");
  const outermost = (level: WidthDefinition["level"], pick: (...values: number[]) => number): number | null => {
    const all = WIDTHS.filter((d) => d.level === level)
      .map((d) => stationOf(first, d))
      .filter((y) => y !== null);
    return all.length === 0 ? null : pick(...all);
  };
  return {
    of: (definition) => stationOf(first, definition),
    front: (level) => canines(level) ?? outermost(level, Math.min),
    back: (level) => molars(level) ?? outermost(level, Math.max),
    named: (level) => ({ canines: canines(level) !== null, molars: molars(level) !== null }),
  };
}

/**
 * Distance behind the canines' cusp tips over the distance from there to the first molars', as far as the landmarks tell.
 * One scale for all levels: what a scanner does at a place of the arch does not depend on which landmark stands there, and
 * the palatal gingival point of a canine lies some millimetres behind its cusp.
 * @param station of the width behind the canines of its own level, mm
 */
export function shareAlongArch(
  pair: string,
  level: WidthDefinition["level"],
  station: number | null,
  stations: Stations,
): number {
  const { canines, molars } = stations.named("cusp-tip");
  const own = stations.front(level);
  const front = stations.front("cusp-tip");
  const back = stations.back("cusp-tip");
  if (!canines || !molars || station === null || own === null || front === null || back === null || back - front < 5)
    return usualShare(pair);
  return (own + station - front) / (back - front);
}

const given = (reading: Quantity): Given<Quantity> => ({ state: "given", reading });
const withheld = (reason: Withheld): Given<Quantity> => ({ state: "withheld", reason });

/** The straight distance between the definition's two places, mm; null where one of them does not stand. */
export function straightWidth(set: PointSet, { pair, place }: WidthDefinition): number | null {
  const [right, left] = [pointOf(set, pair.right, place), pointOf(set, pair.left, place)];
  return right === undefined || left === undefined ? null : distance(right.at, left.at);
}

/** The width on one scan, or what it needs. */
function widthOn(
  set: PointSet,
  definition: WidthDefinition,
  assumptions: Assumptions,
  share: number,
): { width: Given<Quantity>; transverse: number | null } {
  const figure = pointFigure(assumptions, definition.level);
  const teeth = [definition.pair.right, definition.pair.left];
  const away = awayReason(set.away ?? [], teeth);
  if (away !== null) return { width: withheld(away), transverse: null };
  const points = teeth.map((tooth) => pointOf(set, tooth, definition.place));
  const [right, left] = points;
  if (right !== undefined && left !== undefined) {
    const transverse = right.inFrame && left.inFrame ? left.inFrame[0] - right.inFrame[0] : null;
    return {
      width: given(
        quantity(
          distance(right.at, left.at),
          {
            ...widthComponents(assumptions, share, figure.pointWidth),
            registration: registrationError(right, left),
          },
          figure.degreesOfFreedom,
        ),
      ),
      transverse,
    };
  }
  const missing = teeth.filter((_, side) => points[side] === undefined);
  const fault = set.faults.find((f) => f.tooth !== null && missing.includes(f.tooth) && f.place === definition.place);
  const needs = missing.map((tooth) => ({ timepoint: set.timepoint, tooth, place: definition.place as string }));
  const words = missing.map((tooth) => landmarkWords({ tooth, place: definition.place })).join(" and the ");
  return {
    width: withheld(
      fault === undefined
        ? { code: "needs-landmark", text: `needs the ${words} on the ${set.timepoint} scan`, needs }
        : { code: fault.code, text: fault.text, needs },
    ),
    transverse: null,
  };
}

/** Standard uncertainty of a width by the registrations that carried its points, mm. */
export function registrationError(right: MeasuredPoint, left: MeasuredPoint): number {
  const along = unit(subtract(left.at, right.at));
  const variance = [right, left].reduce((sum, { carried }) => {
    if (carried === undefined) return sum;
    const c = carried.covariance;
    const row = (i: number) => c[i]! * along[0] + c[i + 1]! * along[1] + c[i + 2]! * along[2];
    return sum + along[0] * row(0) + along[1] * row(3) + along[2] * row(6);
  }, 0);
  return Math.sqrt(variance);
}

/**
 * Components of a change. A point placed on both scans counts with its error twice; one that was carried over has the
 * same error at both times, which enters only by how far the width's direction turned against the crown: tipping times
 * placement error. So do points that were carried to both scans from a third.
 */
function changeOf(
  first: PointSet,
  second: PointSet,
  { pair, place, level }: WidthDefinition,
  assumptions: Assumptions,
  share: number,
): Components {
  const of = (set: PointSet, tooth: number) => pointOf(set, tooth, place)!;
  const ends = [first, second].map((set) => ({ right: of(set, pair.right), left: of(set, pair.left) })) as [
    WidthEnds,
    WidthEnds,
  ];
  const along = ends.map(({ right, left }) => unit(subtract(left.at, right.at))) as [Vector3, Vector3];
  // Both points of a width carry its point figure: each half of its square.
  const { pointWidth } = pointFigure(assumptions, level);
  const one = (pointWidth * pointWidth) / 2;
  const variance = (["right", "left"] as const).reduce((sum, side) => {
    const [before, after] = [ends[0][side].carried, ends[1][side].carried];
    // Both carried: from one point of a third scan.
    if (before !== undefined && after !== undefined)
      return sum + one * squared(subtract(back(before.rotation, along[0]), back(after.rotation, along[1])));
    if (after !== undefined) return sum + one * squared(subtract(along[0], back(after.rotation, along[1])));
    if (before !== undefined) return sum + one * squared(subtract(along[1], back(before.rotation, along[0])));
    return sum + 2 * one;
  }, 0);
  const registration = ends.map(({ right, left }) => registrationError(right, left));
  return {
    ...changeComponents(assumptions, share, pointWidth),
    point: Math.sqrt(variance),
    registration: Math.hypot(...registration),
  };
}

interface WidthEnds {
  readonly right: MeasuredPoint;
  readonly left: MeasuredPoint;
}

const squared = (v: Vector3): number => dot(v, v);

/** Rᵀ·v */
export const back = (r: CarriedError["rotation"], v: Vector3): Vector3 => [
  r[0] * v[0] + r[3] * v[1] + r[6] * v[2],
  r[1] * v[0] + r[4] * v[1] + r[7] * v[2],
  r[2] * v[0] + r[5] * v[1] + r[8] * v[2],
];

/**
 * One width before and after, its change and their uncertainties; straight distances between the two places, which
 * need no superimposition (places as in LaBlonde 2017, Garib 2021 for cusps; Alsayegh 2022 for the gingival level).
 */
export function readWidth(
  first: PointSet,
  second: PointSet,
  definition: WidthDefinition,
  stations: Stations,
  assumptions: Assumptions,
): WidthReading {
  const own = stations.of(definition);
  const front = stations.front(definition.level);
  const station = own !== null && front !== null ? own - front : null;
  const share = shareAlongArch(definition.pair.name, definition.level, station, stations);
  const before = widthOn(first, definition, assumptions, share);
  const after = widthOn(second, definition, assumptions, share);
  let change: Given<Quantity>;
  let transverseChange: number | null = null;
  const teeth = [definition.pair.right, definition.pair.left];
  const names = [first.timepoint, second.timepoint] as const;
  const refused = second.notComparable ?? changeAwayReason(first.away ?? [], second.away ?? [], teeth, names);
  if (refused !== null) change = withheld(refused);
  else if (before.width.state === "withheld") change = before.width;
  else if (after.width.state === "withheld") change = after.width;
  else {
    const difference = after.width.reading.value - before.width.reading.value;
    change = given(
      quantity(
        difference,
        changeOf(first, second, definition, assumptions, share),
        pointFigure(assumptions, definition.level).degreesOfFreedom,
      ),
    );
    if (before.transverse !== null && after.transverse !== null)
      transverseChange = after.transverse - before.transverse;
  }
  return {
    pair: definition.pair.name,
    teeth: [definition.pair.right, definition.pair.left],
    level: definition.level,
    at: definition.at,
    kind: "straight",
    before: before.width,
    after: after.width,
    change,
    transverseChange,
    changeIfCarried: null,
    withinMeasurementError: change.state === "given" ? withinError(change.reading) : null,
    station,
  };
}

/**
 * The widths that are asked: those with a landmark on at least one of the scans.
 * @returns each with `complete`: both teeth have the place on at least one scan and stand on both, so that the reading
 * counts as asked: a tooth that is not there is not a failure
 */
export function askedWidths(sets: readonly PointSet[]): { definition: WidthDefinition; complete: boolean }[] {
  const stands = (tooth: number, place: Place) =>
    sets.some(
      (set) =>
        pointOf(set, tooth, place) !== undefined || set.faults.some((f) => f.tooth === tooth && f.place === place),
    );
  return WIDTHS.map((definition) => {
    const right = stands(definition.pair.right, definition.place);
    const left = stands(definition.pair.left, definition.place);
    const { pair } = definition;
    const there = sets.every((set) => awayReason(set.away ?? [], [pair.right, pair.left]) === null);
    return { definition, any: right || left, complete: right && left && there };
  })
    .filter(({ any }) => any)
    .map(({ definition, complete }) => ({ definition, complete }));
}
