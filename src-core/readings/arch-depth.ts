import { cross, length, middle, subtract, type Vector3 } from "../geometry/vector";
import { fromPoints, type ReadingDefinition, spot } from "./reading-definition";

const flat = ([x, y]: Vector3): Vector3 => [x, y, 0];

/** Distance of a point from the line through a and b, in the occlusal plane, mm. */
export function distanceInPlane(p: Vector3, a: Vector3, b: Vector3): number {
  const along = subtract(flat(b), flat(a));
  return length(cross(along, subtract(flat(p), flat(a)))) / length(along);
}

/** The two published depths of the arch, both perpendicular in the occlusal plane. */
export const ARCH_DEPTHS: readonly ReadingDefinition[] = [
  // Garib 2021 (Angle Orthod 91:178-186), 'arch length'.
  fromPoints(
    {
      name: "arch depth, mesial of 6–6 to 11",
      by: "perpendicular in the occlusal plane from the line through the mesial contact points of 16 and 26 to that of 11",
      unit: "mm",
      teeth: [16, 26, 11],
      spots: [spot(16, "mesial-contact"), spot(26, "mesial-contact"), spot(11, "mesial-contact")],
      basis: "occlusal-plane",
    },
    ([right, left, front]) => distanceInPlane(front!, right!, left!),
  ),
  // BMC Oral Health 2020 (s12903-020-01143-1).
  fromPoints(
    {
      name: "arch depth, cusps of 6–6 to incisors",
      by: "perpendicular in the occlusal plane from the line through the mesiobuccal cusp tips of 16 and 26 to the middle of the mesial contact points of 11 and 21",
      unit: "mm",
      teeth: [16, 26, 11, 21],
      spots: [
        spot(16, "mesiobuccal-cusp-tip"),
        spot(26, "mesiobuccal-cusp-tip"),
        spot(11, "mesial-contact"),
        spot(21, "mesial-contact"),
      ],
      basis: "occlusal-plane",
    },
    ([right, left, a, b]) => distanceInPlane(middle(a!, b!), right!, left!),
  ),
];
