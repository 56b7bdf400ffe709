import { halfMotion } from "../geometry/half-motion";
import { DEGREES, tan } from "../geometry/real";
import {
  apply,
  compose,
  fromRotationVector,
  invert,
  type RigidTransform,
  rotationVector,
} from "../geometry/rigid-transform";
import { screwMotion } from "../geometry/screw-motion";
import { length, type Vector3 } from "../geometry/vector";
import { ratioInterval } from "../statistics/fieller";
import { derivatives, propagated } from "../statistics/propagation";
import { coverageFactor90, coverageFactor95 } from "../statistics/quantiles";
import { fixed, millimetres } from "./numbers-in-words";
import { verdictOf } from "./pattern";
import type { HalvesReading, Interval, Quantity, Verdict } from "./readings-document";
import { type Assumptions, degreesOfFreedomOf, pointFigure, quantity, scannerAcross } from "./uncertainty";

/** What the reading is and is not. */
const LABELS: Readonly<Record<HalvesReading["of"], string>> = {
  palate: "relative motion of the two palatal surfaces; neither suture nor bone",
  crowns:
    "right and left crowns as two groups: teeth, not palatal surfaces; tipping of the teeth is contained in it; neither suture nor bone",
};
const SIDES: Readonly<Record<HalvesReading["of"], string>> = {
  palate: "two palatal surfaces",
  crowns: "two groups of crowns",
};

/** The motion of one half of the palate from the earlier scan to the later one, as registered. */
export interface MovedHalf {
  /** Earlier → later file coordinates, mm. */
  readonly transform: RigidTransform;
  /** 6×6 row by row: rotation vector (radians), shift (mm) at `centre`, axes of the later scan. */
  readonly covariance: Float64Array;
  /** mm, later file coordinates. */
  readonly centre: Vector3;
}

/** A place along the arch at which the opening is read. */
export interface HalvesStation {
  /** y in the earlier scan's arch frame, mm. */
  readonly y: number;
  /** Height of the palatal surface there, z in that frame, mm. */
  readonly height: number;
  /** 'the canines' */
  readonly words: string;
}

export interface HalvesInput {
  /** What moved: the surfaces of the palate, or the crowns of each side as a group. */
  readonly of: HalvesReading["of"];
  readonly right: MovedHalf;
  readonly left: MovedHalf;
  /** Earlier file coordinates → its arch frame. */
  readonly toFrame: RigidTransform;
  readonly front: HalvesStation;
  readonly back: HalvesStation;
  /** y of the canines' own station, behind which all others are given, mm. */
  readonly canines: number;
  /** y of the canines' and of the first molars' cusp tips, between which the scanner's error is known, mm. */
  readonly cusps: { readonly canines: number; readonly molars: number };
  /** Standard uncertainty of the arch frame's directions about x, y and z, radians, and of a station, mm. */
  readonly frameTurn: Vector3;
  readonly stationError: number;
}

/** The axis is placed only where the opening angle exceeds its standard uncertainty this many times. */
const AXIS_AT = 5;
/** Least share of the axis' direction to the head for it to be an axis of opening. */
const UPRIGHT = 0.5;

/** Height of the crowns' middle above the cusps: half of an average crown's height, mm. */
const CROWN_MIDDLE = 4;

/** Numbers of the outputs below. */
const [FRONT, BACK, ANGLE, ROLL, PITCH, FORWARD, DOWN, TURN, DISTANCE, SLOPE, SIDE] = [
  0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10,
];
const OUTPUTS = 11;

/**
 * The relative motion of the two palatal halves, M = T_right⁻¹ · T_left: the left half against the right in the arch
 * frame of the earlier scan. Angles are the components of its rotation vector. Openings and shifts are those of the two
 * halves at the median plane on the height of the palatal surface, each half moved by half of M, so that no side is
 * preferred and a mirror image gives the same openings.
 *
 * Uncertainty: registration from the covariances of both fits; scanner as for widths at the same station (correlated
 * along the arch, independent between scans, and locally), with the turn of one side against the other taken as alike
 * about the three axes; point from the directions of the arch frame and the place of the stations.
 */
export function readHalves(input: HalvesInput, assumptions: Assumptions): HalvesReading {
  const values = outputsOf(input, NO_DEVIATION);
  const rows = derivatives((deviations) => outputsOf(input, deviations), STEPS);
  const registration = propagated(rows, (i, j) => {
    if (i < 6 && j < 6) return input.right.covariance[6 * i + j]!;
    return i >= 6 && i < 12 && j >= 6 && j < 12 ? input.left.covariance[6 * (i - 6) + j - 6]! : 0;
  });
  const frame = [...input.frameTurn, input.stationError];
  const point = propagated(rows, (i, j) => (i === j && i >= 12 ? frame[i - 12]! * frame[i - 12]! : 0));
  const scanner = scannerCovariance(input, assumptions);
  const { degreesOfFreedom } = pointFigure(assumptions);
  const variance = (i: number, j: number) => registration[i]![j]! + point[i]![j]! + scanner[i]![j]!;
  const given = (i: number, unit = 1): Quantity =>
    quantity(
      values[i]! * unit,
      {
        point: unit * Math.sqrt(point[i]![i]!),
        registration: unit * Math.sqrt(registration[i]![i]!),
        scanner: unit * Math.sqrt(scanner[i]![i]!),
      },
      degreesOfFreedom,
    );
  const factorOf = (i: number): number =>
    coverageFactor95(degreesOfFreedomOf(Math.sqrt(point[i]![i]!), Math.sqrt(variance(i, i)), degreesOfFreedom));
  const combined = (a: number, b: number, factor: (degreesOfFreedom: number) => number): Interval => {
    const value = a * values[FRONT]! + b * values[BACK]!;
    const spread = (of: (i: number, j: number) => number) =>
      Math.sqrt(Math.max(0, a * a * of(FRONT, FRONT) + 2 * a * b * of(FRONT, BACK) + b * b * of(BACK, BACK)));
    const u = spread(variance);
    const k = factor(
      degreesOfFreedomOf(
        spread((i, j) => point[i]![j]!),
        u,
        degreesOfFreedom,
      ),
    );
    return { value, low: value - k * u, high: value + k * u };
  };
  const difference = combined(1, -1, coverageFactor95);
  const difference90 = combined(1, -1, coverageFactor90);
  const front90 = combined(1, 0, coverageFactor90);
  const back90 = combined(0, 1, coverageFactor90);
  const verdict = verdictOf(
    difference,
    difference90,
    front90,
    back90,
    combined(0.5, 0.5, coverageFactor95),
    false,
    assumptions.delta,
  );
  const motion = relativeMotion(input);
  return {
    of: input.of,
    label: LABELS[input.of],
    verdict,
    because: reasonOf(verdict, difference, difference90, front90, back90, assumptions.delta, input),
    rotation: [...motion.rotation],
    translation: [...motion.translation],
    atCanines: given(FRONT),
    atMolars: given(BACK),
    places: { canines: input.front.words, molars: input.back.words },
    stations: { canines: input.front.y - input.canines, molars: input.back.y - input.canines },
    heights: { canines: input.front.height, molars: input.back.height },
    difference,
    difference90,
    openingAngle: given(ANGLE, DEGREES),
    roll: given(ROLL, DEGREES),
    pitch: given(PITCH, DEGREES),
    forwardShift: given(FORWARD),
    occlusalShift: given(DOWN),
    turn: given(TURN, DEGREES),
    axis: axisOf(motion, values, variance, factorOf),
    delta: assumptions.delta,
  };
}

/** The left half against the right, in the arch frame of the earlier scan. */
export function relativeMotion(halves: Pick<HalvesInput, "right" | "left" | "toFrame">): RigidTransform {
  const { right, left, toFrame } = halves;
  return compose(toFrame, compose(compose(invert(right.transform), left.transform), invert(toFrame)));
}

/** Six deviations of the right fit, six of the left, three turns of the frame, one shift of the stations. */
const NO_DEVIATION: readonly number[] = new Array<number>(16).fill(0);
const STEPS: readonly number[] = NO_DEVIATION.map((_, i) =>
  i < 12 ? (i % 6 < 3 ? 1e-4 : 1e-3) : i < 15 ? 1e-4 : 1e-2,
);

const at = (d: readonly number[], i: number): Vector3 => [d[i]!, d[i + 1]!, d[i + 2]!];

function outputsOf(input: HalvesInput, d: readonly number[]): number[] {
  const shifted = (half: MovedHalf, i: number): MovedHalf => ({
    ...half,
    transform: compose(fromRotationVector(at(d, i), at(d, i + 3), half.centre), half.transform),
  });
  const motion = relativeMotion({
    right: shifted(input.right, 0),
    left: shifted(input.left, 6),
    toFrame: compose(fromRotationVector(at(d, 12)), input.toFrame),
  });
  const half = halfMotion(motion);
  const back = invert(half);
  const apart = (y: number, z: number, axis: 0 | 1 | 2): number => {
    const p: Vector3 = [0, y + d[15]!, z];
    return apply(half, p)[axis] - apply(back, p)[axis];
  };
  const { front, back: hind } = input;
  const middle = [(front.y + hind.y) / 2, (front.height + hind.height) / 2] as const;
  const vector = rotationVector(motion);
  const { point, direction } = screwMotion(motion);
  const out = new Array<number>(OUTPUTS).fill(0);
  out[FRONT] = apart(front.y, front.height, 0);
  out[BACK] = apart(hind.y, hind.height, 0);
  out[ANGLE] = vector[2];
  out[ROLL] = -vector[1];
  out[PITCH] = vector[0];
  out[FORWARD] = -apart(...middle, 1);
  out[DOWN] = -apart(...middle, 2);
  out[TURN] = length(vector);
  if (point !== null && Math.abs(direction[2]) >= UPRIGHT) {
    // The axis' place behind the canines as a ratio, for its interval: both parts are well behaved where it is not.
    const along = point[2] / direction[2];
    out[SLOPE] = 2 * tan(vector[2] / 2);
    out[DISTANCE] = out[SLOPE] * (point[1] - along * direction[1] - input.canines - d[15]!);
    out[SIDE] = out[SLOPE] * (point[0] - along * direction[0]);
  }
  return out;
}

/**
 * The scanner's part: one error per scan that spreads both sides, growing to the back; its turn about each axis, which at
 * the height of the palate rolls the two surfaces apart; and, as for widths, its local figure.
 */
function scannerCovariance(input: HalvesInput, assumptions: Assumptions): number[][] {
  const { canines, molars } = input.cusps;
  const across = (y: number) => scannerAcross(assumptions, (y - canines) / (molars - canines));
  const slope = (across(molars) - across(canines)) / (molars - canines);
  const together = new Array<number>(OUTPUTS).fill(0);
  together[FRONT] = across(input.front.y);
  together[BACK] = across(input.back.y);
  // Wider at the back is a negative opening angle.
  together[ANGLE] = -slope;
  together[SLOPE] = -slope;
  together[DISTANCE] = across(input.canines);
  const { local } = assumptions.scanner;
  const shifted = new Array<number>(OUTPUTS).fill(0);
  for (const i of [FRONT, BACK, DISTANCE]) shifted[i] = local;
  // The figures across are those of the crowns; a roll about their middle moves what lies above.
  const rolled = new Array<number>(OUTPUTS).fill(0);
  rolled[ROLL] = slope;
  rolled[FRONT] = -slope * (input.front.height - CROWN_MIDDLE);
  rolled[BACK] = -slope * (input.back.height - CROWN_MIDDLE);
  const alone = new Array<number>(OUTPUTS).fill(0);
  for (const i of [PITCH, TURN]) alone[i] = slope;
  for (const i of [FORWARD, DOWN, SIDE]) alone[i] = Math.hypot(across((input.front.y + input.back.y) / 2), local);
  return together.map((_, i) =>
    together.map((_, j) => {
      const joint = [together, shifted, rolled].reduce((sum, error) => sum + error[i]! * error[j]!, 0);
      return 2 * (joint + (i === j ? alone[i]! * alone[i]! : 0));
    }),
  );
}

/** Where the axis of turning passes through the occlusal plane. */
function axisOf(
  motion: RigidTransform,
  values: readonly number[],
  variance: (i: number, j: number) => number,
  factorOf: (i: number) => number,
): HalvesReading["axis"] {
  const ratio = (i: number) => {
    const k = Math.max(factorOf(i), factorOf(SLOPE));
    return ratioInterval(values[i]!, variance(i, i), values[SLOPE]!, variance(SLOPE, SLOPE), variance(i, SLOPE), k);
  };
  const behind = ratio(DISTANCE);
  const side = ratio(SIDE);
  const certain = Math.abs(values[ANGLE]!) > AXIS_AT * Math.sqrt(variance(ANGLE, ANGLE));
  if (!certain || values[SLOPE] === 0 || behind === null || side === null) {
    return {
      state: "withheld",
      reason: {
        code: "angle-within-error",
        text: "the axis is placed only where the opening angle of the halves exceeds five of its standard uncertainties",
        needs: [],
      },
    };
  }
  const { direction, shift } = screwMotion(motion);
  return {
    state: "given",
    reading: {
      behindCanines: { value: values[DISTANCE]! / values[SLOPE]!, ...behind },
      toLeft: { value: values[SIDE]! / values[SLOPE]!, ...side },
      direction: [...direction],
      shiftAlong: shift,
    },
  };
}

function reasonOf(
  verdict: Verdict,
  difference: Interval,
  difference90: Interval,
  front90: Interval,
  back90: Interval,
  delta: number,
  { of, front, back }: HalvesInput,
): string {
  const sides = SIDES[of];
  const range = (i: Interval) => `${fixed(i.low, 1)} to ${millimetres(i.high)}`;
  const bound = millimetres(delta);
  const more = (by: number, here: string, there: string) =>
    `The ${sides} moved apart ${millimetres(by)} more at ${here} than at ${there} (95 % interval ${range(difference)}), more than the agreed ${bound} and more than measurement error explains.`;
  switch (verdict) {
    case "no-change":
      return `At ${front.words} and at ${back.words} the ${sides} kept their distance within ±0.5 mm (90 % intervals ${range(front90)} and ${range(back90)}).`;
    case "narrowed":
      return `The ${sides} came nearer to each other on the whole (95 % interval of the mean opening below 0).`;
    case "fan-front":
      return more(difference.value, front.words, back.words);
    case "fan-back":
      return more(-difference.value, back.words, front.words);
    case "parallel":
      return `At ${front.words} and ${back.words} the ${sides} moved apart alike: the difference of ${millimetres(difference90.value)} stays within ±${bound} (90 % interval ${range(difference90)}).`;
    default:
      return `The opening of the ${sides} at ${front.words} and ${back.words} differs by ${millimetres(difference.value)} with a 95 % interval from ${range(difference)}: a scanner with smaller error, or ${of === "palate" ? "regions whose shape holds their position better" : "scans that show the palate"}, would decide it.`;
  }
}
