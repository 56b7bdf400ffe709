import type { Place } from "../arch/landmark";
import { dot, scale, subtract, unit, type Vector3 } from "../geometry/vector";
import type { WidthDefinition } from "./catalogue";
import { type Assumptions, type Components, pointFigure, scannerAcross } from "./uncertainty";
import { back, type MeasuredPoint, type PointSet, pointOf, registrationError } from "./width";

/** Three scans in the order of time: before the expansion, at the end of turning, in retention. */
export type ThreeScans = readonly [PointSet, PointSet, PointSet];

/** Weights of the three widths in what is read from them: a gain is [−1, 1, 0], a loss [0, 1, −1]. */
export type Weights = Vector3;
export const GAIN: Weights = [-1, 1, 0];
export const LOSS: Weights = [0, 1, -1];

/** Errors of one width on three scans and how they go together. */
export interface SharedErrors {
  /** Standard uncertainties of weights · widths by source, mm. */
  components(weights: Weights): Components;
  /** Covariance of two such sums, mm². */
  covariance(a: Weights, b: Weights): number;
}

/**
 * The errors of one width on three scans, by first-order propagation (JCGM 100:2008, 5.2.2). The scanner errs
 * independently on each scan. A point placed on each scan by itself errs independently too; one that was carried has
 * the error of the scan it was placed on, turned with its crown.
 * @param share distance behind the canines over the distance from canines to first molars
 * @throws RangeError where a scan lacks one of the width's points
 */
export function sharedErrors(
  scans: ThreeScans,
  { pair, place, level }: WidthDefinition,
  assumptions: Assumptions,
  share: number,
): SharedErrors {
  const [right, left] = [pair.right, pair.left].map((tooth) => pointsOf(scans, tooth, place)) as [
    MeasuredPoint[],
    MeasuredPoint[],
  ];
  const along = right.map((point, scan) => unit(subtract(left[scan]!.at, point.at)));
  const hand = [right, left].map((points, side) =>
    points.map((point, scan) => placedError(points, point, scan, side === 0 ? scale(along[scan]!, -1) : along[scan]!)),
  );
  // Both points of a width carry its point figure: each half of its square.
  const { pointWidth } = pointFigure(assumptions, level);
  const one = (pointWidth * pointWidth) / 2;
  const across = scannerAcross(assumptions, share);
  const scanner = across * across + assumptions.scanner.local * assumptions.scanner.local;
  const bySource = {
    point: (i: number, j: number) =>
      hand.reduce((sum, side) => {
        const [a, b] = [side[i]!, side[j]!];
        return a.placedOn === b.placedOn ? sum + one * dot(a.gradient, b.gradient) : sum;
      }, 0),
    registration: (i: number, j: number) => {
      const error = i === j ? registrationError(right[i]!, left[i]!) : 0;
      return error * error;
    },
    scanner: (i: number, j: number) => (i === j ? scanner : 0),
  };
  const together = (entry: (i: number, j: number) => number, a: Weights, b: Weights): number =>
    a.reduce((sum, x, i) => b.reduce((part, y, j) => part + x * y * entry(i, j), sum), 0);
  const deviation = (entry: (i: number, j: number) => number, w: Weights) =>
    Math.sqrt(Math.max(0, together(entry, w, w)));
  return {
    components: (weights) => ({
      point: deviation(bySource.point, weights),
      registration: deviation(bySource.registration, weights),
      scanner: deviation(bySource.scanner, weights),
    }),
    covariance: (a, b) =>
      together((i, j) => bySource.point(i, j) + bySource.registration(i, j) + bySource.scanner(i, j), a, b),
  };
}

const pointsOf = (scans: ThreeScans, tooth: number, place: Place): MeasuredPoint[] =>
  scans.map((scan) => {
    const point = pointOf(scan, tooth, place);
    if (point === undefined) throw new RangeError(`the ${scan.timepoint} scan has no such point`);
    return point;
  });

/** On which scan a point was placed by hand, and the width's derivative by its place there. */
function placedError(points: readonly MeasuredPoint[], point: MeasuredPoint, scan: number, gradient: Vector3) {
  if (point.carried === undefined) return { placedOn: scan, gradient };
  // It was carried from the nearest scan in time on which the point was placed by hand.
  const byHand = [1, 2, 0].filter((other) => other !== scan && points[other]!.carried === undefined);
  return { placedOn: byHand[0] ?? 0, gradient: back(point.carried.rotation, gradient) };
}
