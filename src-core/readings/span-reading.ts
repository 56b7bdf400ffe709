import { landmarkWords, placeWords } from "../arch/landmark";
import { apply, IDENTITY, invert, rotate } from "../geometry/rigid-transform";
import { add, addScaled, dot, type Vector3 } from "../geometry/vector";
import { derivatives } from "../statistics/propagation";
import type { SpanReading } from "./arch-document";
import { type ArchScan, movedFrame } from "./arch-scan";
import { pointError, registrationVariance, type Signed, type ValueOnScan } from "./landmark-errors";
import { fixed, listed } from "./numbers-in-words";
import type { Given, Quantity, Withheld } from "./quantity";
import type { Measure, ReadingDefinition, Spot } from "./reading-definition";
import { awayReason, changeAwayReason } from "./tooth-reasons";
import { type Assumptions, quantity, withinError } from "./uncertainty";
import { type MeasuredPoint, pointOf } from "./width";

/** Step of the numeric derivatives by a point or the frame's shift, mm, and by the frame's turn, radians. */
const STEP = 1e-3;
const TURN = 1e-5;
/** Where a reading has a step of its own, the frame turns by what moves a point this far from its origin by it, mm. */
const FROM_ORIGIN = 20;

/**
 * A reading before and after, its change and their uncertainties, by first-order propagation (GUM, JCGM 100:2008, 5.2):
 * each landmark, those that carry the arch frame included, errs alike in all directions. A point that stands on both
 * scans by hand errs twice; one that was carried has the same error at both times, turned with its crown, and errs by
 * its registration together with all points that the same registration carried.
 */
export function spanReading(
  definition: ReadingDefinition,
  first: ArchScan,
  second: ArchScan,
  assumptions: Assumptions,
): SpanReading {
  const { name, by, unit, teeth, largestUncertainty } = definition;
  const [before, after] = [first, second].map((scan) => valueOn(definition, scan, assumptions)) as [
    ValueOnScan | Withheld,
    ValueOnScan | Withheld,
  ];
  const given = (value: number, on: Signed): Given<Quantity> => {
    const point = pointError(on, assumptions);
    const reading = quantity(
      value,
      {
        point: point.u,
        registration: Math.sqrt(registrationVariance(on)),
        scanner: Math.sqrt(on.reduce((sum, [, { scanner }]) => sum + scanner, 0)),
      },
      point.degreesOfFreedom,
    );
    return reading.expandedUncertainty > (largestUncertainty ?? Number.POSITIVE_INFINITY)
      ? { state: "withheld", reason: tooUncertain(largestUncertainty!) }
      : { state: "given", reading };
  };
  const one = (on: ValueOnScan | Withheld): Given<Quantity> =>
    "code" in on ? { state: "withheld", reason: on } : given(on.value, [[1, on]]);
  const names: [string, string] = [first.timepoint, second.timepoint];
  const refused =
    second.points.notComparable ?? changeAwayReason(first.points.away ?? [], second.points.away ?? [], teeth, names);
  const difference = (): Given<Quantity> => {
    if (refused !== null) return { state: "withheld", reason: refused };
    if ("code" in before) return { state: "withheld", reason: before };
    if ("code" in after) return { state: "withheld", reason: after };
    return given(after.value - before.value, [
      [-1, before],
      [1, after],
    ]);
  };
  const change = difference();
  return {
    name,
    by,
    unit,
    teeth,
    before: one(before),
    after: one(after),
    change,
    withinMeasurementError: change.state === "given" ? withinError(change.reading) : null,
  };
}

/** Whether its landmarks, what its basis needs and, for the palate, a point of it are given on at least one of the scans. */
export const isAsked = (definition: ReadingDefinition, scans: readonly ArchScan[]): boolean =>
  hasBasis(definition, scans) &&
  lackingSpots(definition, scans).length === 0 &&
  (definition.onSurface !== true || scans.some(showsPalate));

/** A palate is read where one of its own points is marked: on scans of teeth alone it is not asked for. */
const showsPalate = ({ hasSurface, points }: ArchScan): boolean =>
  hasSurface && points.points.some(({ tooth }) => tooth === null);

const hasBasis = ({ basis }: ReadingDefinition, scans: readonly ArchScan[]): boolean =>
  basis === "points" ||
  scans.some(({ frame }) => frame !== null && (basis === "occlusal-plane" || frame.source === "raphe"));

const lackingSpots = ({ spots }: ReadingDefinition, scans: readonly ArchScan[]): Spot[] =>
  spots.filter(({ tooth, place }) =>
    scans.every(
      ({ points }) =>
        pointOf(points, tooth, place) === undefined &&
        !points.faults.some((fault) => fault.tooth === tooth && fault.place === place),
    ),
  );

/** The landmarks that stand on no scan and would ask for the reading: 'mesial contact point of 16 and 26'. */
export function lackingWords(definition: ReadingDefinition, scans: readonly ArchScan[]): string {
  const byPlace = new Map<string, number[]>();
  for (const { tooth, place } of lackingSpots(definition, scans))
    byPlace.set(place, [...(byPlace.get(place) ?? []), tooth]);
  const words = [...byPlace].map(
    ([place, teeth]) => `${placeWords(place as Spot["place"])} of ${listed(teeth.map(String))}`,
  );
  const palate = definition.onSurface === true && !scans.some(showsPalate);
  if (palate && definition.basis !== "median-plane") words.push("incisive papilla or median raphe");
  if (!hasBasis(definition, scans))
    words.push(definition.basis === "median-plane" ? "incisive papilla and median raphe" : "cusp tips of two pairs");
  return words.join("; ");
}

const tooUncertain = (limit: number): Withheld => ({
  code: "raphe-too-uncertain",
  text: `the uncertainty, mostly that of the raphe, exceeds ${fixed(limit, 1)} mm`,
  needs: [],
});

/** The value on one scan, or what it lacks there. */
function valueOn(definition: ReadingDefinition, scan: ArchScan, assumptions: Assumptions): ValueOnScan | Withheld {
  const lacks = notThere(definition, scan) ?? lackOf(definition, scan);
  if (lacks !== null) return lacks;
  const own = definition.spots.map(({ tooth, place }) => pointOf(scan.points, tooth, place)!);
  const nominal = own.map(({ at }) => apply(scan.toFrame, at));
  const measure = definition.on(scan, nominal);
  if ("code" in measure) return measure;
  const value = measure.value(nominal, IDENTITY);
  const slopes = slopesOf(measure, definition.basis === "points" ? [] : scan.supports, scan, own, nominal);
  return { value, slopes: slopes.inFile, scanner: scannerVariance(measure, scan, slopes.inFrame, assumptions) };
}

/** Its tooth does not stand on the scan, or is still erupting where that would be read as a change. */
function notThere({ teeth, notWhileErupting }: ReadingDefinition, scan: ArchScan): Withheld | null {
  const away = awayReason(scan.points.away ?? [], teeth);
  if (away !== null || notWhileErupting !== true) return away;
  return teeth.map(scan.erupting).find((reason) => reason !== null) ?? null;
}

function lackOf({ spots, basis }: ReadingDefinition, { timepoint, points, frame }: ArchScan): Withheld | null {
  const missing = spots.filter(({ tooth, place }) => pointOf(points, tooth, place) === undefined);
  if (missing.length > 0) {
    const needs = missing.map(({ tooth, place }) => ({ timepoint, tooth, place: place as string }));
    const fault = points.faults.find((f) => missing.some((m) => m.tooth === f.tooth && m.place === f.place));
    if (fault !== undefined) return { code: fault.code, text: fault.text, needs };
    return {
      code: "needs-landmark",
      text: `needs the ${missing.map(landmarkWords).join(" and the ")} on the ${timepoint} scan`,
      needs,
    };
  }
  if (basis === "points") return null;
  if (frame === null) {
    return {
      code: "frame-not-possible",
      text: `needs the occlusal plane on the ${timepoint} scan: cusp tips of two pairs of teeth`,
      needs: [],
    };
  }
  return basis === "occlusal-plane" || frame.source === "raphe"
    ? null
    : {
        code: "needs-landmark",
        text: `needs the incisive papilla and two points of the median raphe on the ${timepoint} scan`,
        needs: [
          { timepoint, place: "incisive-papilla" },
          { timepoint, place: "median-raphe" },
        ],
      };
}

function slopesOf(
  measure: Measure,
  supports: ArchScan["supports"],
  scan: ArchScan,
  own: readonly MeasuredPoint[],
  nominal: readonly Vector3[],
) {
  const inFrame = new Map<MeasuredPoint, Vector3>();
  const add3 = (point: MeasuredPoint, slope: Vector3) =>
    inFrame.set(point, add(inFrame.get(point) ?? [0, 0, 0], slope));
  const step = measure.step ?? STEP;
  const turn = measure.step === undefined ? TURN : measure.step / FROM_ORIGIN;
  const byPoints = derivatives(
    (d) => [
      measure.value(
        nominal.map(([x, y, z], i): Vector3 => [x + d[3 * i]!, y + d[3 * i + 1]!, z + d[3 * i + 2]!]),
        IDENTITY,
      ),
    ],
    new Array<number>(3 * own.length).fill(step),
  );
  own.forEach((point, i) => {
    add3(point, [byPoints[3 * i]![0]!, byPoints[3 * i + 1]![0]!, byPoints[3 * i + 2]![0]!]);
  });
  const byFrame =
    supports.length === 0
      ? []
      : derivatives((d) => [measure.value(nominal, movedFrame(d))], [turn, turn, turn, step, step, step]);
  for (const { point, rows } of supports) {
    add3(
      point,
      rows.reduce((sum: Vector3, row, k) => addScaled(sum, row, byFrame[k]![0]!), [0, 0, 0]),
    );
  }
  const toFile = invert(scan.toFrame);
  const inFile = new Map([...inFrame].map(([point, slope]) => [point, rotate(toFile, slope)] as const));
  return { inFrame, inFile };
}

function scannerVariance(
  measure: Measure,
  { fields, toFrame }: ArchScan,
  slopes: ReadonlyMap<MeasuredPoint, Vector3>,
  assumptions: Assumptions,
): number {
  // A width's two points carry its local figure: each half of its square.
  const local = (assumptions.scanner.local * assumptions.scanner.local) / 2;
  let variance = 0;
  for (const slope of slopes.values()) variance += local * dot(slope, slope);
  fields.forEach((field, k) => {
    let shift = measure.bySurface?.[k] ?? 0;
    for (const [point, slope] of slopes) shift += dot(slope, field(apply(toFrame, point.at)));
    variance += shift * shift;
  });
  return variance;
}
