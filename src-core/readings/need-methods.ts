import type { Place } from "../arch/landmark";
import type { NeedMethod } from "./need-document";
import type { WidthLevel } from "./readings-document";

/** A named way to compare the upper with the lower arch at the first molars. */
export interface NeedDefinition extends Pick<NeedMethod, "method" | "level" | "upperPoints" | "lowerPoints" | "basis"> {
  /** The upper width 6-6 it takes. */
  readonly upper: WidthLevel;
  /** The place on 36 and 46. */
  readonly lower: Place;
  /** False for a comparison that is not zero in a good occlusion: it is shown, and nothing is planned from it. */
  readonly planned: boolean;
}

export const LOWER_TEETH = [46, 36] as const;

/** Named geometry without norms: no figure of a normal arch enters. */
export const NEED_METHODS: readonly NeedDefinition[] = [
  {
    method: "palatal-cusps-to-fossae",
    level: "cusp",
    upperPoints: "mesiopalatal cusp tips of 16 and 26",
    lowerPoints: "central fossae of 36 and 46",
    basis: "common practice, source not seen: the palatal cusps stand in the fossae in a good occlusion",
    upper: "mesiopalatal-cusp-tip",
    lower: "central-fossa",
    planned: true,
  },
  {
    method: "palatal-to-lingual-gingival",
    level: "gingival",
    upperPoints: "palatal gingival points of 16 and 26",
    lowerPoints: "lingual gingival points of 36 and 46",
    basis: "the gingival level of both arches, less changed by inclination of the crowns; no norm was seen",
    upper: "palatal-gingival",
    lower: "lingual-gingival",
    planned: true,
  },
  {
    method: "buccal-cusps-to-buccal-grooves",
    level: "buccal",
    upperPoints: "mesiobuccal cusp tips of 16 and 26",
    lowerPoints: "buccal grooves of 36 and 46",
    basis:
      "after Staley 1985 (Am J Orthod), not seen in print, so without its norms: the upper arch is the wider one in a good occlusion",
    upper: "cusp-tip",
    lower: "buccal-groove",
    planned: false,
  },
];
