import { DEGREES } from "#core/geometry/real";
import { apply, fromRotationVector, type RigidTransform } from "#core/geometry/rigid-transform";
import { subtract, type Vector3 } from "#core/geometry/vector";
import { smoothStep } from "./blending";

/** What is done to the arch; mm and degrees, model frame (x left, y back, z head for an upper arch). */
export interface Treatment {
  /** Opening of the two halves against each other about a vertical axis, whole angle; positive: wider in front. */
  readonly openingAngle: number;
  /** Widening between the halves at the level of the first molars (y = `hingeLevelY`), whole distance. */
  readonly shift: number;
  readonly hingeLevelY: number;
  /** Roll of the halves against each other, whole angle; positive: crowns apart more than the vault. */
  readonly roll: number;
  /** Share of the movement that the right half makes. */
  readonly rightShare: number;
  /** Buccal tipping of single crowns against their half by place from the midline (1 to 7), degrees. */
  readonly tipping: readonly number[];
  /** How far below the neck the crowns tip, mm. */
  readonly pivotBelowNeck: number;
}

export const NO_TREATMENT: Treatment = {
  openingAngle: 0,
  shift: 0,
  hingeLevelY: 30,
  roll: 0,
  rightShare: 0.5,
  tipping: [0, 0, 0, 0, 0, 0, 0],
  pivotBelowNeck: 3,
};

/** The treatment after some of it was lost again: halves by `half`, tipping by `teeth` (shares that stay, 0 to 1). */
export function relapsed(t: Treatment, half: number, teeth: number): Treatment {
  return {
    ...t,
    openingAngle: t.openingAngle * half,
    shift: t.shift * half,
    roll: t.roll * half,
    tipping: t.tipping.map((a) => a * teeth),
  };
}

/** The rigid motion of one half, model frame. */
export function halfMotion(t: Treatment, left: boolean): RigidTransform {
  const share = left ? 1 - t.rightShare : t.rightShare;
  const side = left ? 1 : -1;
  const rollCentreZ = 12;
  return fromRotationVector(
    [0, (-side * share * t.roll) / DEGREES, (side * share * t.openingAngle) / DEGREES],
    [side * share * t.shift, -0.15 * share * t.shift, 0.1 * share * t.shift],
    [0, t.hingeLevelY, rollCentreZ],
  );
}

/**
 * The soft tissue between the halves: a band about the raphe in which the motion passes smoothly from one half to the
 * other; outside it each half moves as a rigid body. Given as its inverse, so that fields need no iteration.
 */
export class SoftTissue {
  private readonly rightBack: Float64Array;
  private readonly leftBack: Float64Array;
  /** Where x = 0 at y = 0 went on either side, and how that changes with y. */
  private readonly seam: readonly [right: number, rightSlope: number, left: number, leftSlope: number];

  /** `halfBand`: half width of the band before treatment, mm. */
  constructor(
    private readonly right: RigidTransform,
    private readonly left: RigidTransform,
    private readonly halfBand: number,
  ) {
    this.rightBack = inverseRows(right);
    this.leftBack = inverseRows(left);
    const middleX = (t: RigidTransform, y: number) => apply(t, [0, y, 5])[0];
    this.seam = [
      middleX(right, 0),
      middleX(right, 1) - middleX(right, 0),
      middleX(left, 0),
      middleX(left, 1) - middleX(left, 0),
    ];
  }

  /** How far the halves parted at y in the seam, mm. */
  opening(y: number): number {
    const [right, rightSlope, left, leftSlope] = this.seam;
    return left + leftSlope * y - right - rightSlope * y;
  }

  /** Share of the left half at x, y after treatment. */
  private share(x: number, y: number): number {
    const [right, rightSlope, left, leftSlope] = this.seam;
    const r = right + rightSlope * y;
    const l = left + leftSlope * y;
    const reach = this.halfBand + (l - r) / 2;
    const middle = (l + r) / 2;
    return smoothStep(middle - reach, middle + reach, x);
  }

  /** Where the material at p (after treatment) was before; mm. Writes into `out`. */
  before(x: number, y: number, z: number, out: Float64Array): void {
    const b = this.share(x, y);
    const r = this.rightBack;
    const l = this.leftBack;
    for (let i = 0; i < 3; i++) {
      const k = i * 4;
      const fromRight = r[k]! * x + r[k + 1]! * y + r[k + 2]! * z + r[k + 3]!;
      const fromLeft = l[k]! * x + l[k + 1]! * y + l[k + 2]! * z + l[k + 3]!;
      out[i] = fromRight + b * (fromLeft - fromRight);
    }
  }

  /** Where the material at p (before treatment) went; mm. Fixed-point iteration on `before`. */
  after(p: Vector3): Vector3 {
    const out = new Float64Array(3);
    const start = apply(this.right, p);
    const other = apply(this.left, p);
    let q: Vector3 = [(start[0] + other[0]) / 2, (start[1] + other[1]) / 2, (start[2] + other[2]) / 2];
    for (let round = 0; round < 200; round++) {
      this.before(q[0], q[1], q[2], out);
      const miss = subtract(p, [out[0]!, out[1]!, out[2]!]);
      q = [q[0] + miss[0], q[1] + miss[1], q[2] + miss[2]];
      if (Math.abs(miss[0]) + Math.abs(miss[1]) + Math.abs(miss[2]) < 1e-12) break;
    }
    return q;
  }
}

function inverseRows(t: RigidTransform): Float64Array {
  const r = t.rotation;
  const s = t.translation;
  const row = (i: 0 | 1 | 2) => [r[i]!, r[3 + i]!, r[6 + i]!, -(r[i]! * s[0] + r[3 + i]! * s[1] + r[6 + i]! * s[2])];
  return Float64Array.from([...row(0), ...row(1), ...row(2)]);
}
