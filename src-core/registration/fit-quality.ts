import { type RigidTransform, rotate } from "../geometry/rigid-transform";
import { symmetricEigen } from "../geometry/symmetric-eigen";
import type { Vector3 } from "../geometry/vector";
import { grouped } from "../grouped";
import { influenceSums, inverse, normalEquations } from "./normal-equations";
import type { PointPairs } from "./point-pairs";
import type { Robustness } from "./robust-weights";

/** Conditions above which a fit is said to slide, and above which it is refused (a convention). */
export const CONDITION_TO_WARN = 200;
export const CONDITION_TO_REFUSE = 2000;

/** How firmly the shape of a region holds its position. */
export interface Firmness {
  /**
   * Largest over smallest eigenvalue of the information matrix JᵀJ of the pairs used, with turns measured as the
   * movement at the region's root mean square radius, so that all six have one unit.
   */
  readonly condition: number;
  /** The movement held least, in words: 'slide from front to back', 'turn in the occlusal plane'. */
  readonly freest: string;
}

const SLIDES = ["slide from side to side", "slide from front to back", "slide up and down"];
const TURNS = ["tip in front", "tip to one side", "turn in the occlusal plane"];

/**
 * Condition of a fit and the movement its shape holds least.
 * @param toFrame fixed coordinates → arch frame, for the words; without it the movement is only called slide or turn
 */
export function firmness(
  pairs: PointPairs,
  centre: Vector3,
  radius: number,
  robustness: Robustness,
  toFrame: RigidTransform | undefined,
): Firmness {
  const { matrix } = normalEquations(pairs, centre, robustness.weight);
  const scaled = Array.from({ length: 6 }, (_, row) =>
    Array.from({ length: 6 }, (_, column) => {
      const unit = (k: number) => (k < 3 ? 1 / radius : 1);
      return matrix[6 * row + column]! * unit(row) * unit(column);
    }),
  );
  const { values, vectors } = symmetricEigen(scaled);
  const weak = vectors[0]!;
  const inFrame = (v: Vector3): Vector3 => (toFrame === undefined ? v : rotate(toFrame, v));
  const turn = inFrame([weak[0]!, weak[1]!, weak[2]!]);
  const slide = inFrame([weak[3]!, weak[4]!, weak[5]!]);
  const slides = Math.hypot(...slide) >= Math.hypot(...turn);
  const words = slides ? SLIDES[mainAxis(slide)]! : TURNS[mainAxis(turn)]!;
  return {
    condition: values[0]! > 0 ? values[5]! / values[0]! : Infinity,
    freest: toFrame === undefined ? (slides ? "slide along itself" : "turn on itself") : words,
  };
}

/** Number of the axis a vector lies along most. */
function mainAxis(v: Vector3): number {
  const sizes = v.map(Math.abs);
  return sizes.indexOf(Math.max(...sizes));
}

/**
 * Covariance of the fitted motion, 6×6 row by row, in the order rotation vector (radians), shift (mm) at `centre`,
 * axes of the fixed surface: σ²·(JᵀJ)⁻¹ of the point-to-plane fit (Bonnabel, Barczyk & Goulette 2014) with the
 * asymptotic σ² of the robust fit, E[ψ²]/E[ψ′]² (Huber 1981, Robust Statistics, 7.6).
 * Scanner errors are alike within about a millimetre, so one independent pair is counted per mm² and not each point.
 * @param area surface that has partners, mm²
 * @returns null where some movement is not held at all
 */
export function fitCovariance(
  pairs: PointPairs,
  centre: Vector3,
  robustness: Robustness,
  area: number,
): Float64Array | null {
  const { squares, slopes } = influenceSums(pairs, robustness);
  const information = inverse(normalEquations(pairs, centre, () => 1).matrix);
  if (information === null || !(slopes > 0)) return null;
  const variance = squares / pairs.count / ((slopes / pairs.count) * (slopes / pairs.count));
  const pairsPerIndependent = Math.max(1, pairs.count / area);
  return information.map((value) => value * variance * pairsPerIndependent);
}

/** Whole numbers with commas between thousands. */
/** A plain sentence about the quality of a fit. */
export function qualitySentence(
  name: string,
  fit: { rms: number; points: number; inlierShare: number; overlap: number },
  firm: Firmness,
): string {
  const hold =
    firm.condition <= CONDITION_TO_WARN / 2
      ? "its shape holds the position well"
      : firm.condition <= CONDITION_TO_WARN
        ? "its shape holds the position"
        : `its shape is smooth and can ${firm.freest}, so the position is uncertain that way`;
  const changed = fit.overlap - fit.inlierShare;
  const out = changed > 0.15 ? ` ${(changed * 100).toFixed(0)} % of it does not match and was left out.` : "";
  const missing = fit.overlap < 0.7 ? ` Only ${(fit.overlap * 100).toFixed(0)} % of it is on both scans.` : "";
  return `${name} fits to ${fit.rms.toFixed(2)} mm over ${grouped(fit.points)} points; ${hold}.${out}${missing}`;
}
