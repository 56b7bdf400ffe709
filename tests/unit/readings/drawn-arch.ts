import { fromRotationVector } from "#core/geometry/rigid-transform";
import { add, type Vector3 } from "#core/geometry/vector";
import type { MeasuredPoint, PointSet } from "#core/readings/width";
import { inventedPoints } from "./invented-arch";

/** Standard uncertainties that arches are drawn with, by the model of the definitions; mm. */
export interface DrawnErrors {
  /** Of a width, by the hand that places its two points. */
  readonly hand: number;
  /** Of the scanner on one scan: at the canines, at the first molars and on, fully correlated along the arch. */
  readonly atCanines: number;
  readonly atMolars: number;
  /** Of the scanner, each width by itself. */
  readonly local: number;
}

const MOLARS = 22;

const vector = (normal: () => number, size: number): Vector3 => [size * normal(), size * normal(), size * normal()];

/** Widens a scan as the scanner errs: one draw along the whole arch, one of each width. */
function scanned(points: readonly MeasuredPoint[], errors: DrawnErrors, normal: () => number): MeasuredPoint[] {
  const along = normal();
  const own = new Map<string, number>();
  return points.map((point) => {
    const { tooth, place, at, inFrame } = point;
    const station = inFrame![1];
    const pair = `${tooth! % 10} ${place}`;
    if (!own.has(pair)) own.set(pair, errors.local * normal());
    const across = errors.atCanines + ((errors.atMolars - errors.atCanines) * station) / MOLARS;
    const apart = across * along + own.get(pair)!;
    return { ...point, at: add(at, [(Math.sign(inFrame![0]) * apart) / 2, 0, 0]) };
  });
}

/** Each point off by the hand's error, alike in all directions: a width takes it from two points. */
const placed = (points: readonly MeasuredPoint[], errors: DrawnErrors, normal: () => number): MeasuredPoint[] =>
  points.map((point) => ({ ...point, at: add(point.at, vector(normal, errors.hand / Math.SQRT2)) }));

/** Two scans of the invented arch, points placed by hand on both, drawn with errors. */
export function drawnByHand(
  before: PointSet,
  after: PointSet,
  errors: DrawnErrors,
  normal: () => number,
): [PointSet, PointSet] {
  const drawn = (set: PointSet): PointSet => ({
    ...set,
    points: placed(scanned(set.points, errors, normal), errors, normal),
  });
  return [drawn(before), drawn(after)];
}

/** A crown's own motion: turned about the arch's front-back axis by an angle to the cheek, degrees. */
export function tipped(point: MeasuredPoint, degrees: number): MeasuredPoint["carried"] & {} {
  const { rotation } = fromRotationVector([0, (-Math.sign(point.inFrame![0]) * degrees * Math.PI) / 180, 0]);
  return { rotation, covariance: [0.0009, 0, 0, 0, 0.0016, 0, 0, 0, 0.0025], origin: point.at, shares: [] };
}

/** The same with the points placed on the earlier scan and carried by their crowns, which tipped. */
export function drawnCarried(
  before: PointSet,
  after: PointSet,
  degrees: number,
  errors: DrawnErrors,
  normal: () => number,
): [PointSet, PointSet] {
  const first: MeasuredPoint[] = [];
  const second: MeasuredPoint[] = [];
  const [here, there] = [scanned(before.points, errors, normal), scanned(after.points, errors, normal)];
  here.forEach((point, i) => {
    const off = vector(normal, errors.hand / Math.SQRT2);
    const carried = tipped(point, degrees);
    const r = carried.rotation;
    const turned: Vector3 = [
      r[0] * off[0] + r[1] * off[1] + r[2] * off[2],
      r[3] * off[0] + r[4] * off[1] + r[5] * off[2],
      r[6] * off[0] + r[7] * off[1] + r[8] * off[2],
    ];
    const c = carried.covariance;
    const registered: Vector3 = [Math.sqrt(c[0]!) * normal(), Math.sqrt(c[4]!) * normal(), Math.sqrt(c[8]!) * normal()];
    first.push({ ...point, at: add(point.at, off) });
    second.push({ ...there[i]!, at: add(there[i]!.at, add(turned, registered)), carried });
  });
  return [
    { ...before, points: first },
    { ...after, points: second },
  ];
}

/** The invented arch before and after a widening that falls towards the back, cusp level only. */
export function openedArch(widening: (station: number) => number): [PointSet, PointSet] {
  const cusps = (set: PointSet): PointSet => ({
    ...set,
    points: set.points.filter(({ place }) => place !== "palatal-gingival"),
  });
  return [cusps(inventedPoints("before", () => 0)), cusps(inventedPoints("after", widening))];
}
