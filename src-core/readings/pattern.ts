import { atan, DEGREES } from "../geometry/real";
import { ratioInterval } from "../statistics/fieller";
import { fitCorrelatedLine, type LineFit, type OfLine, ofLine } from "../statistics/line-fit";
import { coverageFactor90, coverageFactor95 } from "../statistics/quantiles";
import { fixed, millimetres, pairWords } from "./numbers-in-words";
import type { Given, Interval, PatternReading, Verdict, WidthReading } from "./readings-document";
import { type Assumptions, degreesOfFreedomOf, pointFigure, scannerAcross } from "./uncertainty";
import { type Stations, shareAlongArch } from "./width";

/** Both fitted changes within this of zero: no change, mm. */
const NO_CHANGE = 0.5;
/** The line is evaluated at most this far beyond its outermost pair, mm. */
const FARTHEST = 5;
/** A hinge is given only where the opening angle exceeds its standard uncertainty this many times. */
const HINGE_AT = 5;

/** A pair of the opening profile. */
interface ProfilePair {
  readonly pair: string;
  /** mm behind the canines' station. */
  readonly station: number;
  readonly change: number;
  /** Standard uncertainty of the change by its points, and by the registration of carried ones, mm. */
  readonly point: number;
  readonly registration: number;
  /** Standard uncertainty of the scanner's correlated part on one scan, mm. */
  readonly across: number;
}

/**
 * The horizontal pattern of the widening at one level: a line through the changes of width against their position along
 * the arch, fitted with the full covariance (scanner errors are correlated along the arch and look like a fan), and the
 * verdict that follows from its intervals.
 * @param widths the level's readings; those without change or station take no part
 * @param stations of the first scan
 * @returns the pattern, or why there is none (fewer than two pairs)
 */
export function readPattern(
  level: PatternReading["level"],
  widths: readonly WidthReading[],
  stations: Stations,
  assumptions: Assumptions,
): Given<PatternReading> {
  const pairs: ProfilePair[] = [];
  for (const width of widths) {
    if (width.level !== level || width.change.state !== "given" || width.station === null) continue;
    pairs.push({
      pair: width.pair,
      station: width.station,
      change: width.change.reading.value,
      point: width.change.reading.components.point,
      registration: width.change.reading.components.registration,
      across: scannerAcross(assumptions, shareAlongArch(width.pair, level, width.station, stations)),
    });
  }
  pairs.sort((a, b) => a.station - b.station);
  if (pairs.length < 2 || pairs.at(-1)!.station - pairs[0]!.station < 1)
    return { state: "withheld", reason: onePairOnly(level) };

  const covariance = pairs.map((a, i) =>
    pairs.map((b, j) => {
      const local = assumptions.scanner.local;
      const own = i === j ? a.point * a.point + a.registration * a.registration + 2 * local * local : 0;
      return 2 * a.across * b.across + own;
    }),
  );
  const regular = covariance.map((row, i) => row.map((value, j) => (i === j ? value + SMALLEST_VARIANCE : value)));
  const fit = fitCorrelatedLine(
    pairs.map((p) => p.station),
    pairs.map((p) => p.change),
    regular,
  );
  const first = pairs[0]!.station;
  const last = pairs.at(-1)!.station;
  const reachable = (station: number) => Math.min(last + FARTHEST, Math.max(first - FARTHEST, station));
  const front = stations.front(level);
  const back = stations.back(level);
  const { canines, molars } = stations.named(level);
  const ends: Ends = {
    front: reachable(0),
    back: reachable(front !== null && back !== null ? back - front : last),
    frontWords: canines ? "the canines" : pairWords(pairs[0]!.pair),
    backWords: molars ? "the first molars" : pairWords(pairs.at(-1)!.pair),
  };
  return { state: "given", reading: patternOf(level, pairs, regular, fit, ends, assumptions) };
}

/** The two places at which the fitted line is read, mm behind the canines, and what stands there. */
interface Ends {
  readonly front: number;
  readonly back: number;
  readonly frontWords: string;
  readonly backWords: string;
}

/** Keeps the covariance invertible where every figure is set to 0: a thousandth of a millimetre. */
const SMALLEST_VARIANCE = 1e-6;

function onePairOnly(level: PatternReading["level"]) {
  const words = level === "cusp-tip" ? "cusp tips" : "palatal gingival points";
  return {
    code: "one-pair-only" as const,
    text: `the pattern needs the ${words} of two pairs of teeth at different places along the arch, on both scans`,
    needs: [],
  };
}

/** Reads the line with intervals, whose factor follows from the degrees of freedom of the hand's part. */
function lineReader(fit: LineFit, pairs: readonly ProfilePair[], pointDegreesOfFreedom: number) {
  const widening = fit.widened ? fit.chiSquare / fit.degreesOfFreedom : 1;
  const degreesOfFreedom = ({ weights, standardUncertainty }: OfLine): number => {
    const point = weights.reduce((sum, weight, i) => sum + weight * weight * pairs[i]!.point * pairs[i]!.point, 0);
    return degreesOfFreedomOf(Math.sqrt(widening * point), standardUncertainty, pointDegreesOfFreedom);
  };
  return {
    degreesOfFreedom,
    /** a·intercept + b·slope, with `factor` as from the quantiles. */
    interval(a: number, b: number, factor: (degreesOfFreedom: number) => number): Interval {
      const read = ofLine(fit, a, b);
      const half = factor(degreesOfFreedom(read)) * read.standardUncertainty;
      return { value: read.value, low: read.value - half, high: read.value + half };
    },
  };
}
type LineReader = ReturnType<typeof lineReader>;

function patternOf(
  level: PatternReading["level"],
  pairs: readonly ProfilePair[],
  covariance: readonly (readonly number[])[],
  fit: LineFit,
  ends: Ends,
  assumptions: Assumptions,
): PatternReading {
  const { delta } = assumptions;
  const { degreesOfFreedom } = pointFigure(assumptions, level);
  const line = lineReader(fit, pairs, degreesOfFreedom);
  const lever = ends.back - ends.front;
  const difference = line.interval(0, -lever, coverageFactor95);
  const difference90 = line.interval(0, -lever, coverageFactor90);
  const front90 = line.interval(1, ends.front, coverageFactor90);
  const back90 = line.interval(1, ends.back, coverageFactor90);
  const centre = pairs.reduce((sum, p) => sum + p.station, 0) / pairs.length;
  const verdict = verdictOf(
    difference,
    difference90,
    front90,
    back90,
    line.interval(1, centre, coverageFactor95),
    fit.widened,
    delta,
  );
  const angle = (slope: number) => 2 * atan(-slope / 2) * DEGREES;
  const slopes = line.interval(0, 1, coverageFactor95);
  return {
    level,
    verdict,
    because: reasonOf(verdict, slopes, difference, difference90, front90, back90, delta, pairs, ends),
    pairs: pairs.map((p, i) => ({
      pair: p.pair,
      station: p.station,
      change: p.change,
      standardUncertainty: Math.sqrt(covariance[i]![i]!),
    })),
    atCanines: line.interval(1, ends.front, coverageFactor95),
    atMolars: line.interval(1, ends.back, coverageFactor95),
    stations: { canines: ends.front, molars: ends.back },
    difference,
    difference90,
    slopePer10mm: { value: 10 * slopes.value, low: 10 * slopes.low, high: 10 * slopes.high },
    openingAngleOfTeeth: { value: angle(slopes.value), low: angle(slopes.high), high: angle(slopes.low) },
    frontToBack: frontToBack(pairs, covariance, degreesOfFreedom),
    hinge: hingeOf(fit, line),
    band: bandOf(line, pairs, ends.front, ends.back),
    chiSquare: fit.chiSquare,
    degreesOfFreedom: fit.degreesOfFreedom,
    widened: fit.widened,
    delta,
  };
}

/** The verdict, first rule that holds: δ is a convention, settable and printed. */
export function verdictOf(
  difference: Interval,
  difference90: Interval,
  front90: Interval,
  back90: Interval,
  mean: Interval,
  irregular: boolean,
  delta: number,
): Verdict {
  const inside = (i: Interval, bound: number) => i.low > -bound && i.high < bound;
  if (inside(front90, NO_CHANGE) && inside(back90, NO_CHANGE)) return "no-change";
  if (mean.high < 0) return "narrowed";
  if (Math.abs(difference.value) > delta && difference.low > 0) return "fan-front";
  if (Math.abs(difference.value) > delta && difference.high < 0) return "fan-back";
  if (inside(difference90, delta)) return "parallel";
  return irregular ? "irregular" : "undecided";
}

function reasonOf(
  verdict: Verdict,
  slope: Interval,
  difference: Interval,
  difference90: Interval,
  front90: Interval,
  back90: Interval,
  delta: number,
  pairs: readonly ProfilePair[],
  places: Ends,
): string {
  const per10 = (i: number) => fixed(Math.abs(10 * i), 1);
  const [shallow, steep] = [slope.low, slope.high].sort((a, b) => Math.abs(a) - Math.abs(b)) as [number, number];
  const range = `95 % interval ${per10(shallow)} to ${per10(steep)}`;
  const bound = millimetres(delta);
  const ends = (i: Interval) => `${fixed(i.low, 1)} to ${millimetres(i.high)}`;
  switch (verdict) {
    case "no-change":
      return `At ${places.frontWords} and at ${places.backWords} the change lies within ±${millimetres(NO_CHANGE)} (90 % intervals ${ends(front90)} and ${ends(back90)}).`;
    case "narrowed":
      return `The widths became smaller on the whole (95 % interval of the mean change below 0).`;
    case "fan-front":
      return `The change falls by ${per10(slope.value)} mm for every 10 mm towards the back (${range}): between ${places.frontWords} and ${places.backWords} ${millimetres(difference.value)}, more than the agreed ${bound} and more than measurement error explains.`;
    case "fan-back":
      return `The change grows by ${per10(slope.value)} mm for every 10 mm towards the back (${range}): between ${places.frontWords} and ${places.backWords} ${millimetres(-difference.value)}, more than the agreed ${bound} and more than measurement error explains.`;
    case "parallel":
      return `${capital(places.frontWords)} and ${places.backWords} changed alike: their difference of ${millimetres(difference90.value)} stays within ±${bound} (90 % interval ${ends(difference90)}).`;
    case "irregular":
      return `The pairs do not lie on one line (more scatter than their errors explain), so no one pattern describes them; look at each pair.`;
    case "undecided":
      return `The difference of ${millimetres(difference.value)} between ${places.frontWords} and ${places.backWords} has a 95 % interval from ${ends(difference)}: ${pairs.length < 4 ? "the widths of more pairs" : "landmarks placed again, or a scanner with smaller error,"} would decide it.`;
  }
}

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

/** Δ(3-3)/Δ(6-6), else Δ(4-4)/Δ(6-6) under its own name, with its Fieller interval. */
function frontToBack(
  pairs: readonly ProfilePair[],
  covariance: readonly (readonly number[])[],
  pointDegreesOfFreedom: number,
): PatternReading["frontToBack"] {
  const index = (name: string) => pairs.findIndex((p) => p.pair === name);
  const back = index("6-6");
  const front = index("3-3") >= 0 ? index("3-3") : index("4-4");
  if (back < 0 || front < 0) {
    return {
      state: "withheld",
      reason: { code: "needs-landmark", text: "the ratio needs the change at 6–6 and at 3–3 or 4–4", needs: [] },
    };
  }
  const numerator = pairs[front]!.change;
  const denominator = pairs[back]!.change;
  const variance = covariance[back]![back]!;
  const factorOf = (i: number) =>
    coverageFactor95(degreesOfFreedomOf(pairs[i]!.point, Math.sqrt(covariance[i]![i]!), pointDegreesOfFreedom));
  // The interval's factor depends on its own end: the larger of both changes' factors serves.
  const k = Math.max(factorOf(front), factorOf(back));
  const shared = covariance[front]![back]!;
  const ends = ratioInterval(numerator, covariance[front]![front]!, denominator, variance, shared, k);
  if (denominator <= 2 * factorOf(back) * Math.sqrt(variance) || ends === null) {
    return {
      state: "withheld",
      reason: {
        code: "denominator-within-error",
        text: `the change at ${pairWords("6-6")} is too close to its measurement error to divide by it`,
        needs: [],
      },
    };
  }
  return {
    state: "given",
    reading: {
      of: pairs[front]!.pair === "3-3" ? "3-3 : 6-6" : "4-4 : 6-6",
      ratio: { value: numerator / denominator, ...ends },
    },
  };
}

/** Where the fitted line meets zero, only where the opening is well beyond its error. */
function hingeOf(fit: LineFit, line: LineReader): PatternReading["hinge"] {
  const c = fit.covariance;
  const k = Math.max(
    ...(
      [
        [1, 0],
        [0, 1],
      ] as const
    ).map(([a, b]) => coverageFactor95(line.degreesOfFreedom(ofLine(fit, a, b)))),
  );
  const ends =
    Math.abs(fit.slope) > HINGE_AT * Math.sqrt(c[1][1])
      ? ratioInterval(-fit.intercept, c[0][0], fit.slope, c[1][1], -c[0][1], k)
      : null;
  if (ends === null) {
    return {
      state: "withheld",
      reason: {
        code: "angle-within-error",
        text: "a hinge is given only where the opening angle is five times its standard uncertainty",
        needs: [],
      },
    };
  }
  return { state: "given", reading: { value: -fit.intercept / fit.slope, ...ends } };
}

/** The line with its 95 % band from a little before the first to a little behind the last station. */
function bandOf(
  line: LineReader,
  pairs: readonly ProfilePair[],
  atFront: number,
  atBack: number,
): PatternReading["band"] {
  const from = Math.min(pairs[0]!.station, atFront) - 2;
  const to = Math.max(pairs.at(-1)!.station, atBack) + 2;
  const steps = 24;
  const band: PatternReading["band"] = [];
  for (let i = 0; i <= steps; i++) {
    const station = from + ((to - from) * i) / steps;
    const { value, low, high } = line.interval(1, station, coverageFactor95);
    band.push([station, value, low, high]);
  }
  return band;
}
