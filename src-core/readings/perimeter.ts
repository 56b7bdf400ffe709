import { distance, middle } from "../geometry/vector";
import { fromPoints, type ReadingDefinition, type Spot, spot } from "./reading-definition";

/** From a mesial contact of the first molars over the break points to the other, by what breaks the side. */
function perimeter(words: string, right: Spot, left: Spot): ReadingDefinition {
  return fromPoints(
    {
      name: "arch perimeter, four segments",
      by: `straight from the mesial contact point of 16 over the ${words}, the middle of the mesial contact points of 11 and 21 and the same on the left to the mesial contact point of 26`,
      unit: "mm",
      teeth: [16, right.tooth, 11, 21, left.tooth, 26],
      spots: [
        spot(16, "mesial-contact"),
        right,
        spot(11, "mesial-contact"),
        spot(21, "mesial-contact"),
        left,
        spot(26, "mesial-contact"),
      ],
      basis: "points",
    },
    ([molar, side, a, b, otherSide, otherMolar]) => {
      const front = middle(a!, b!);
      return (
        distance(molar!, side!) +
        distance(side!, front) +
        distance(front, otherSide!) +
        distance(otherSide!, otherMolar!)
      );
    },
  );
}

/**
 * Perimeter of the arch as the sum of four straight segments from the mesial of 16 to the mesial of 26 (Garib 2021,
 * Angle Orthod 91:178-186). The break points of the sides are common practice, no source: the first whose landmarks are
 * given counts.
 */
export const PERIMETERS: readonly ReadingDefinition[] = [
  perimeter("mesial contact point of 14", spot(14, "mesial-contact"), spot(24, "mesial-contact")),
  perimeter("distal contact point of 13", spot(13, "distal-contact"), spot(23, "distal-contact")),
  perimeter("mesial contact point of 54", spot(54, "mesial-contact"), spot(64, "mesial-contact")),
];
