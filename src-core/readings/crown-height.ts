import { crownTop } from "../arch/landmark";
import { kindOf } from "../arch/teeth";
import { distance } from "../geometry/vector";
import { fromPoints, type ReadingDefinition, spot } from "./reading-definition";

/** What a change of the clinical crown height can and cannot mean. */
export const CROWN_HEIGHT_MEANS = "may reflect swelling, eruption or wear; does not show bone";

/** Clinical crown height: straight from the buccal gingival zenith to the buccal cusp tip or incisal edge. */
export const crownHeightOf = (tooth: number): ReadingDefinition =>
  fromPoints(
    {
      name: `clinical crown height of ${tooth}`,
      by: `straight from the buccal gingival zenith to the ${kindOf(tooth) === "incisor" ? "incisal edge" : "buccal cusp tip"}; ${CROWN_HEIGHT_MEANS}`,
      unit: "mm",
      teeth: [tooth],
      spots: [spot(tooth, "buccal-gingival-zenith"), spot(tooth, crownTop(tooth))],
      basis: "points",
      notWhileErupting: true,
    },
    ([zenith, top]) => distance(zenith!, top!),
  );
