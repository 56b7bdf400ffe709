import { distance } from "../geometry/vector";
import { fromPoints, LARGEST_BY_RAPHE, type ReadingDefinition, spot } from "./reading-definition";

const CONTACTS = [spot(11, "mesial-contact"), spot(21, "mesial-contact")];

/** The gap between the central incisors, and where their middle stands beside the raphe. */
export const MIDLINES: readonly ReadingDefinition[] = [
  fromPoints(
    {
      name: "gap between 11 and 21",
      by: "straight between their mesial contact points",
      unit: "mm",
      teeth: [11, 21],
      spots: CONTACTS,
      basis: "points",
    },
    ([right, left]) => distance(right!, left!),
  ),
  fromPoints(
    {
      name: "dental midline from the raphe",
      by: "middle of the mesial contact points of 11 and 21 across the median plane, positive to the patient’s left",
      unit: "mm",
      teeth: [11, 21],
      spots: CONTACTS,
      basis: "median-plane",
      largestUncertainty: LARGEST_BY_RAPHE,
    },
    ([right, left]) => (right![0] + left![0]) / 2,
  ),
];
