import type { Place } from "../arch/landmark";
import { isRight, kindOf } from "../arch/teeth";
import { atan2, DEGREES } from "../geometry/real";
import { middle, subtract, type Vector3 } from "../geometry/vector";
import { fromPoints, type ReadingDefinition, spot } from "./reading-definition";

/** The buccal and the palatal cusp whose line tells how a tooth with two rows of cusps stands. */
function cuspLine(tooth: number): readonly [buccal: Place, palatal: Place] {
  return kindOf(tooth) === "molar"
    ? ["mesiobuccal-cusp-tip", "mesiopalatal-cusp-tip"]
    : ["buccal-cusp-tip", "palatal-cusp-tip"];
}

const hasCuspLine = (tooth: number): boolean => ["molar", "premolar"].includes(kindOf(tooth));
const outwards = (tooth: number): 1 | -1 => (isRight(tooth) ? -1 : 1);

/** Angle of the cusp line to the occlusal plane seen from the front, degrees; larger as the crown tips to the cheek. */
function cuspLineAngle(tooth: number, buccal: Vector3, palatal: Vector3): number {
  const [x, , z] = subtract(buccal, palatal);
  return atan2(z, outwards(tooth) * x) * DEGREES;
}

/**
 * Inclination of a crown against the occlusal plane from its points, as an atan2: molars and premolars by the line of
 * their buccal and palatal cusps seen from the front (Garib 2021, Angle Orthod 91:178-186; Alsayegh 2022, Biomed Res
 * Int 1974467); canines from the middle of their gingival points to the cusp tip, seen from the front; incisors from
 * there to the incisal edge, seen from the side (axis of the crown; common practice, no source).
 */
export function inclinationOf(tooth: number): ReadingDefinition {
  const common: Pick<ReadingDefinition, "name" | "unit" | "teeth" | "basis"> = {
    name: `inclination of ${tooth}`,
    unit: "degrees",
    teeth: [tooth],
    basis: "occlusal-plane",
  };
  if (hasCuspLine(tooth)) {
    const [buccal, palatal] = cuspLine(tooth);
    return fromPoints(
      {
        ...common,
        by: "line of buccal and palatal cusp against the occlusal plane, from the front; positive change: crown to the cheek",
        spots: [spot(tooth, buccal), spot(tooth, palatal)],
      },
      ([b, p]) => cuspLineAngle(tooth, b!, p!),
    );
  }
  const gingival = [spot(tooth, "palatal-gingival"), spot(tooth, "buccal-gingival-zenith")];
  if (kindOf(tooth) === "canine") {
    return fromPoints(
      {
        ...common,
        by: "from the middle of its gingival points to the cusp tip against the normal of the occlusal plane, from the front; positive change: crown to the cheek",
        spots: [spot(tooth, "cusp-tip"), ...gingival],
      },
      ([tip, a, b]) => {
        const [x, , z] = subtract(tip!, middle(a!, b!));
        return atan2(outwards(tooth) * x, -z) * DEGREES;
      },
    );
  }
  return fromPoints(
    {
      ...common,
      by: "from the middle of its gingival points to the incisal edge against the normal of the occlusal plane, from the side; positive change: crown to the lip",
      spots: [spot(tooth, "incisal-edge-middle"), ...gingival],
    },
    ([edge, a, b]) => {
      const [, y, z] = subtract(edge!, middle(a!, b!));
      return atan2(-y, -z) * DEGREES;
    },
  );
}

/**
 * Rotation of a crown in the occlusal projection: the angle of its line to the median plane, larger as its mesial side
 * turns to the cheek. Molars and premolars from palatal to buccal cusp, canines and incisors from mesial to distal
 * contact (common practice, no source).
 */
export function rotationOf(tooth: number): ReadingDefinition {
  const cusps = hasCuspLine(tooth);
  const [buccal, palatal] = cuspLine(tooth);
  return fromPoints(
    {
      name: `rotation of ${tooth}`,
      by: `line from ${cusps ? "palatal to buccal cusp" : "mesial to distal contact point"} against the median plane in the occlusal projection; positive change: mesial side to the cheek`,
      unit: "degrees",
      teeth: [tooth],
      spots: cusps
        ? [spot(tooth, palatal), spot(tooth, buccal)]
        : [spot(tooth, "mesial-contact"), spot(tooth, "distal-contact")],
      basis: "occlusal-plane",
    },
    ([from, to]) => {
      const [x, y] = subtract(to!, from!);
      return atan2(outwards(tooth) * x, -y) * DEGREES;
    },
  );
}

/**
 * The angle between the cusp lines of a pair of molars, both sides together (Garib 2021): the sum of their angles to the
 * occlusal plane, so that it is larger with the crowns to the cheek.
 */
export function pairInclination(pair: string, right: number, left: number): ReadingDefinition {
  const spots = [right, left].flatMap((tooth) => cuspLine(tooth).map((place) => spot(tooth, place)));
  return fromPoints(
    {
      name: `angle between the cusp lines, ${pair}`,
      by: "lines of mesiobuccal and mesiopalatal cusp seen from the front, both sides together; positive change: crowns to the cheek",
      unit: "degrees",
      teeth: [right, left],
      spots,
      basis: "occlusal-plane",
    },
    ([b, p, otherB, otherP]) => cuspLineAngle(right, b!, p!) + cuspLineAngle(left, otherB!, otherP!),
  );
}
