import { DEGREES } from "../geometry/real";
import {
  apply,
  compose,
  fromRotationVector,
  invert,
  type RigidTransform,
  rotate,
  rotationVector,
} from "../geometry/rigid-transform";
import { cross, dot, subtract, type Vector3 } from "../geometry/vector";
import { derivatives, propagated } from "../statistics/propagation";
import type { MovedHalf } from "./halves";
import type { CrownMotion, PalatalCuspDrop, Quantity } from "./readings-document";
import { type Assumptions, pointFigure, quantity, scannerAcross } from "./uncertainty";

/** What a crown's motion is seen against: a registration, and whose errors it carries in which share. */
export interface Reference {
  /** Earlier → later file coordinates, mm. */
  readonly transform: RigidTransform;
  readonly errors: readonly { readonly of: MovedHalf; readonly share: number }[];
  /** Share of the scanner's error of one side against the other that lies between crown and reference. */
  readonly across: 0 | 0.5 | 1;
}

/** The half of the palate on the crown's own side: what the scanner does to one side it does to both. */
export const halfReference = (half: MovedHalf): Reference => ({
  transform: half.transform,
  errors: [{ of: half, share: 1 }],
  across: 0,
});
/** The palate as a whole, which lies between both halves and carries half of each one's error. */
export const wholeReference = (transform: RigidTransform, halves: readonly MovedHalf[]): Reference => ({
  transform,
  errors: halves.map((of) => ({ of, share: 1 / halves.length })),
  across: 0.5,
});
/** The crown of the other side. */
const oppositeReference = (crown: MovedHalf): Reference => ({ ...halfReference(crown), across: 1 });

export interface CrownInput {
  /** The crown registered from the earlier to the later scan. */
  readonly crown: MovedHalf;
  /** Directions of the crown in the arch frame of the earlier scan: mesial, buccal, occlusal. */
  readonly axes: readonly [mesial: Vector3, buccal: Vector3, occlusal: Vector3];
  /** Middle of the crown, earlier file coordinates, mm. */
  readonly middle: Vector3;
  /** Earlier file coordinates → its arch frame. */
  readonly toFrame: RigidTransform;
  /** Standard uncertainty of the crown's directions about x, y and z of the arch frame, radians. */
  readonly axesTurn: Vector3;
  /** Distance behind the canines over the distance from canines to first molars; that distance, mm. */
  readonly share: number;
  readonly archLength: number;
}

type Values = (motion: RigidTransform, axes: CrownInput["axes"]) => readonly number[];

/**
 * A crown's rigid motion against a reference, in its own directions on the earlier scan: tipping to buccal and to
 * mesial, turning about the long axis (positive: the mesial side towards the cheek), shift of its middle. Angles are the
 * components of the rotation vector.
 *
 * Uncertainty: registration from the covariances of crown and reference; scanner on both scans as its local figure and,
 * where crown and reference do not lie on one side, the share of its error across the arch at the crown's station and of
 * its turn of one side that lies between them (an assumption: a scanner errs by joining pictures, so what lies close
 * together is off together); point from the directions of the crown.
 */
export function crownMotion(input: CrownInput, reference: Reference, assumptions: Assumptions): CrownMotion {
  const middle = apply(input.toFrame, input.middle);
  const [tipBuccal, tipMesial, turning, buccal, mesial, occlusal] = propagatedValues(
    input,
    reference,
    assumptions,
    (motion, [m, b, o]) => {
      const turn = rotationVector(motion);
      const shift = subtract(apply(motion, middle), middle);
      return [
        dot(turn, cross(o, b)),
        dot(turn, cross(o, m)),
        dot(turn, cross(m, b)),
        dot(shift, b),
        dot(shift, m),
        dot(shift, o),
      ];
    },
    3,
  );
  return {
    buccalTipping: tipBuccal!,
    mesialTipping: tipMesial!,
    turning: turning!,
    buccalShift: buccal!,
    mesialShift: mesial!,
    occlusalShift: occlusal!,
  };
}

/**
 * How far the palatal cusp moved to occlusal: against its half, and against the buccal cusp of the same crown.
 * @param palatal the mesiopalatal (premolars: palatal) cusp tip, earlier file coordinates, mm
 * @param buccal the mesiobuccal (premolars: buccal) cusp tip; null where it is not marked
 */
export function palatalCuspDrop(
  input: CrownInput,
  half: Reference,
  palatal: Vector3,
  buccal: Vector3 | null,
  assumptions: Assumptions,
): PalatalCuspDrop {
  const [p, b] = [palatal, buccal ?? palatal].map((point) => apply(input.toFrame, point)) as [Vector3, Vector3];
  const [againstHalf, againstBuccalCusp] = propagatedValues(
    input,
    half,
    assumptions,
    (motion, [, , occlusal]) => {
      const drop = (point: Vector3) => dot(subtract(apply(motion, point), point), occlusal);
      return [drop(p), drop(p) - drop(b)];
    },
    0,
  );
  return { againstHalf: againstHalf!, againstBuccalCusp: buccal === null ? null : againstBuccalCusp! };
}

/**
 * Change of the angle between the crowns of a pair, degrees: both together, positive with the crowns to the cheek.
 * Needs no reference: the left crown against the right.
 */
export function pairAngle(right: CrownInput, left: CrownInput, assumptions: Assumptions): Quantity {
  const [angle] = propagatedValues(
    left,
    oppositeReference(right.crown),
    assumptions,
    (motion) => [-rotationVector(motion)[1]],
    1,
  );
  return angle!;
}

/** Values of the crown's motion against a reference with their uncertainties; the first `angles` of them in degrees. */
function propagatedValues(
  input: CrownInput,
  reference: Reference,
  assumptions: Assumptions,
  values: Values,
  angles: number,
): Quantity[] {
  const { crown, toFrame } = input;
  const errors = reference.errors;
  const size = 6 + 6 * errors.length + 3;
  const frameStart = size - 3;
  const at = (d: readonly number[], i: number, share = 1): Vector3 => [
    share * d[i]!,
    share * d[i + 1]!,
    share * d[i + 2]!,
  ];
  const outputs = (d: readonly number[]): readonly number[] => {
    const moved = compose(fromRotationVector(at(d, 0), at(d, 3), crown.centre), crown.transform);
    const seen = errors.reduce(
      (t, { of, share }, k) =>
        compose(fromRotationVector(at(d, 6 + 6 * k, share), at(d, 9 + 6 * k, share), of.centre), t),
      reference.transform,
    );
    const tilt = fromRotationVector(at(d, frameStart));
    const motion = compose(toFrame, compose(compose(invert(seen), moved), invert(toFrame)));
    const [m, b, o] = input.axes;
    return values(motion, [rotate(tilt, m), rotate(tilt, b), rotate(tilt, o)]);
  };
  const steps = Array.from({ length: size }, (_, i) => (i >= frameStart || i % 6 < 3 ? 1e-4 : 1e-3));
  const rows = derivatives(outputs, steps);
  const registration = propagated(rows, (i, j) => {
    if (i >= frameStart || j >= frameStart || Math.floor(i / 6) !== Math.floor(j / 6)) return 0;
    const { covariance } = i < 6 ? crown : errors[Math.floor(i / 6) - 1]!.of;
    return covariance[6 * (i % 6) + (j % 6)]!;
  });
  const point = propagated(rows, (i, j) => {
    if (i !== j || i < frameStart) return 0;
    const u = input.axesTurn[i - frameStart]!;
    return u * u;
  });
  const { local, atCanines, atMolars } = assumptions.scanner;
  const across = reference.across * scannerAcross(assumptions, input.share);
  const { degreesOfFreedom } = pointFigure(assumptions);
  const shiftError = Math.SQRT2 * Math.sqrt(across * across + local * local);
  const turnError = (Math.SQRT2 * reference.across * Math.abs(atMolars - atCanines)) / input.archLength;
  return outputs(new Array<number>(size).fill(0)).map((value, i) => {
    const unit = i < angles ? DEGREES : 1;
    return quantity(
      value * unit,
      {
        point: unit * Math.sqrt(point[i]![i]!),
        registration: unit * Math.sqrt(registration[i]![i]!),
        scanner: unit * (i < angles ? turnError : shiftError),
      },
      degreesOfFreedom,
    );
  });
}
