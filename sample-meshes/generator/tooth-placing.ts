import { cos, DEGREES, sin } from "#core/geometry/real";
import {
  apply,
  compose,
  fromRotationVector,
  invert,
  type RigidTransform,
  rotate,
} from "#core/geometry/rigid-transform";
import { addScaled, cross, scale, type Vector3 } from "#core/geometry/vector";
import type { ArchForm } from "./arch-form";
import { CrownField } from "./crown-field";
import { scaledCrown } from "./crown-parts";
import type { CrownPoint, CrownShape } from "./crown-shape";
import { type CrownSize, LOWER_CROWN_SIZES, UPPER_CROWN_SIZES } from "./crown-sizes";
import { canine, lowerIncisor, upperIncisor } from "./front-crowns";
import { lowerMolar, upperMolar } from "./molar-crowns";
import {
  LOWER_FIRST_PREMOLAR,
  LOWER_SECOND_PREMOLAR,
  premolar,
  UPPER_FIRST_PREMOLAR,
  UPPER_SECOND_PREMOLAR,
} from "./premolar-crowns";
import type { Random } from "./random";

/** Crowns stand this much closer than their widths, so that they touch. */
export const CONTACT_SPACING = 0.985;

export type Jaw = "upper" | "lower";

/**
 * A crown on the arch. Model frame: x to the patient's left, y to the back, the crown's tip to −z (a lower arch is
 * modelled upside down and turned over at the end); mm.
 */
export interface PlacedTooth {
  readonly tooth: number;
  readonly left: boolean;
  readonly field: CrownField;
  readonly size: CrownSize;
  /** Neck and axes in the model frame, before treatment. */
  readonly origin: Vector3;
  readonly mesial: Vector3;
  readonly buccal: Vector3;
  readonly occlusal: Vector3;
  /** The rigid motion that treatment gave this crown (model frame). */
  readonly motion: RigidTransform;
}

/** Buccal inclination (degrees) and level of the tips (mm, negative: longer) by place from the midline: common practice, no source. */
const UPPER_STANCE: readonly (readonly [torque: number, level: number])[] = [
  [17, -0.3],
  [15, 0.4],
  [6, -0.3],
  [-2, 0],
  [-4, 0],
  [-5, 0.1],
  [-5, 0.7],
];
const LOWER_STANCE: readonly (readonly [torque: number, level: number])[] = [
  [10, 0],
  [8, 0],
  [-2, -0.2],
  [-7, 0],
  [-10, 0.1],
  [-14, 0.2],
  [-16, 0],
];

function shapeOf(jaw: Jaw, place: number, size: CrownSize, random: Random): CrownShape {
  const upper = jaw === "upper";
  const draft =
    place === 1
      ? upper
        ? upperIncisor(size, 0)
        : lowerIncisor(size)
      : place === 2
        ? upper
          ? upperIncisor(size, 1)
          : lowerIncisor(size)
        : place === 3
          ? canine(size, upper ? 1 : 0.4)
          : place === 4
            ? premolar(size, upper ? UPPER_FIRST_PREMOLAR : LOWER_FIRST_PREMOLAR)
            : place === 5
              ? premolar(size, upper ? UPPER_SECOND_PREMOLAR : LOWER_SECOND_PREMOLAR)
              : upper
                ? upperMolar(size, place - 6)
                : lowerMolar(size, place === 6);
  const vary = () => 1 + random.between(-0.02, 0.02);
  return scaledCrown(draft, [vary(), vary(), vary()]);
}

/**
 * Puts the 14 crowns side by side on the arch form, touching at their contacts, each a little off the ideal by seed.
 * `crowding` scales the turns of the incisors (0 none).
 */
export function placeTeeth(
  jaw: Jaw,
  form: ArchForm,
  occlusalLevel: number,
  crowding: number,
  random: Random,
): PlacedTooth[] {
  const sizes = jaw === "upper" ? UPPER_CROWN_SIZES : LOWER_CROWN_SIZES;
  const stance = jaw === "upper" ? UPPER_STANCE : LOWER_STANCE;
  const teeth: PlacedTooth[] = [];
  for (const left of [false, true]) {
    let s = 0;
    for (let place = 1; place <= 7; place++) {
      const quadrant = jaw === "upper" ? (left ? 2 : 1) : left ? 3 : 4;
      const tooth = quadrant * 10 + place;
      const own = random.branch(tooth);
      const size = sizes[place - 1]!;
      const shape = shapeOf(jaw, place, size, own);
      const half = size.mesiodistal / 2;
      s += half * CONTACT_SPACING;
      const on = form.at(s);
      s += half * CONTACT_SPACING;
      const side = left ? 1 : -1;
      const distal: Vector3 = [on.directionX * side, on.directionY, 0];
      const outward: Vector3 = [on.directionY * side, -on.directionX, 0];
      const [torque, level] = stance[place - 1]!;
      const front = place <= 3 ? 1 : 0;
      const a = (torque + own.between(-2, 2)) / DEGREES;
      const tip = ((place <= 3 ? 4 : 1) + own.between(-1.5, 1.5)) / DEGREES;
      const turn = (own.between(-1, 1) * (front ? 9 * crowding : 3) + (place === 6 ? 6 : 0)) / DEGREES;
      let occlusal: Vector3 = [outward[0] * sin(a), outward[1] * sin(a), -cos(a)];
      let buccal: Vector3 = [outward[0] * cos(a), outward[1] * cos(a), sin(a)];
      let mesial: Vector3 = scale(distal, -1);
      // Tip the crown to mesial, then turn it about its own long axis.
      [occlusal, mesial] = turned(occlusal, mesial, tip);
      [mesial, buccal] = turned(mesial, buccal, turn);
      const height = shape.height;
      const step = own.between(-1, 1) * (front ? 0.55 * crowding : 0.2);
      const tipZ = occlusalLevel + level + own.between(-0.15, 0.15);
      const anchor: Vector3 = [on.x * side + outward[0] * step, on.y + outward[1] * step, 0];
      const rise = height * 0.7;
      const neck = addScaled(anchor, occlusal, -rise);
      const origin: Vector3 = [neck[0], neck[1], tipZ - height * occlusal[2]];
      const motion = fromRotationVector([0, 0, 0]);
      teeth.push({
        tooth,
        left,
        field: new CrownField(shape, own.uniform() * 4294967296),
        size,
        origin,
        mesial,
        buccal,
        occlusal,
        motion,
      });
    }
  }
  return teeth;
}

/** Both unit vectors turned in their plane, the first towards the second. */
function turned(a: Vector3, b: Vector3, angle: number): [Vector3, Vector3] {
  const c = cos(angle);
  const s = sin(angle);
  return [addScaled(scale(a, c), b, s), addScaled(scale(b, c), a, -s)];
}

/** A point of the crown frame in the model frame, where treatment put it. */
export function fromCrown(tooth: PlacedTooth, p: CrownPoint): Vector3 {
  const still = addScaled(
    addScaled(addScaled(tooth.origin, tooth.mesial, p[0]), tooth.buccal, p[1]),
    tooth.occlusal,
    p[2],
  );
  return apply(tooth.motion, still);
}

/** The 12 numbers of the affine map from the model frame to the crown frame, row by row, after treatment. */
export function toCrown(tooth: PlacedTooth): Float64Array {
  const back = invert(tooth.motion);
  const turn = { rotation: tooth.motion.rotation, translation: [0, 0, 0] as const };
  const rows = [tooth.mesial, tooth.buccal, tooth.occlusal].map((axis) => {
    const moved = rotate(turn, axis);
    const shift =
      axis[0] * (back.translation[0] - tooth.origin[0]) +
      axis[1] * (back.translation[1] - tooth.origin[1]) +
      axis[2] * (back.translation[2] - tooth.origin[2]);
    return [...moved, shift];
  });
  return Float64Array.from(rows.flat());
}

/**
 * The crown's motion: first tipped to buccal by `tipping` and to mesial by `mesialTipping`, turned about its long axis
 * by `turning` (degrees) about a point of the root `pivotBelowNeck` mm under the neck, then carried by its half.
 */
export function movedTooth(
  tooth: PlacedTooth,
  half: RigidTransform,
  tipping: number,
  mesialTipping: number,
  turning: number,
  pivotBelowNeck: number,
): PlacedTooth {
  const pivot = addScaled(tooth.origin, tooth.occlusal, -pivotBelowNeck);
  const tip = scale(cross(tooth.occlusal, tooth.buccal), tipping / DEGREES);
  const lean = addScaled(tip, cross(tooth.occlusal, tooth.mesial), mesialTipping / DEGREES);
  const own = fromRotationVector(
    addScaled(lean, cross(tooth.mesial, tooth.buccal), turning / DEGREES),
    [0, 0, 0],
    pivot,
  );
  return { ...tooth, motion: compose(half, own) };
}
