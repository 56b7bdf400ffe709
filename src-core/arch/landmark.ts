import { z } from "zod";
import { isTooth, isUpper, kindOf, type ToothKind, type ToothNumber } from "./teeth";

/** Places of landmarks on a tooth; which tooth has which is told by `placeFits`. */
export const TOOTH_PLACES = [
  "cusp-tip",
  "buccal-cusp-tip",
  "palatal-cusp-tip",
  "lingual-cusp-tip",
  "mesiobuccal-cusp-tip",
  "distobuccal-cusp-tip",
  "mesiopalatal-cusp-tip",
  "distopalatal-cusp-tip",
  "mesiolingual-cusp-tip",
  "distolingual-cusp-tip",
  "distal-cusp-tip",
  "central-fossa",
  "buccal-groove",
  "incisal-edge-middle",
  "mesial-contact",
  "distal-contact",
  "palatal-gingival",
  "lingual-gingival",
  "buccal-gingival-zenith",
] as const;

/** Places on the palate. */
export const PALATE_PLACES = ["incisive-papilla", "median-raphe"] as const;

export const Place = z.enum([...TOOTH_PLACES, ...PALATE_PLACES]);
export type Place = z.infer<typeof Place>;

const CROWN_TOP: Readonly<Record<ToothKind, Place>> = {
  incisor: "incisal-edge-middle",
  canine: "cusp-tip",
  premolar: "buccal-cusp-tip",
  molar: "mesiobuccal-cusp-tip",
};

/** The point of a crown at the top of its buccal side: incisal edge, cusp tip, or (mesio)buccal cusp tip. */
export const crownTop = (tooth: ToothNumber): Place => CROWN_TOP[kindOf(tooth)];

const EVERY_TOOTH: readonly Place[] = ["mesial-contact", "distal-contact", "buccal-gingival-zenith"];

/** Whether a tooth has this place (a canine has no fossa, an upper tooth nothing lingual). */
export function placeFits(tooth: number, place: Place): boolean {
  const upper = isUpper(tooth);
  if (EVERY_TOOTH.includes(place)) return true;
  if (place === "palatal-gingival") return upper;
  if (place === "lingual-gingival") return !upper;
  switch (kindOf(tooth)) {
    case "incisor":
      return place === "incisal-edge-middle";
    case "canine":
      return place === "cusp-tip";
    case "premolar":
      return place === "buccal-cusp-tip" || place === (upper ? "palatal-cusp-tip" : "lingual-cusp-tip");
    case "molar":
      return (
        ["mesiobuccal-cusp-tip", "distobuccal-cusp-tip", "central-fossa", "buccal-groove"].includes(place) ||
        (upper
          ? ["mesiopalatal-cusp-tip", "distopalatal-cusp-tip"].includes(place)
          : ["mesiolingual-cusp-tip", "distolingual-cusp-tip", "distal-cusp-tip"].includes(place))
      );
  }
}

const Point = z.tuple([z.number(), z.number(), z.number()]);

/** One landmark: a place on a tooth or on the palate and where it is, mm (file coordinates times the scan's unit). */
export const Landmark = z
  .object({
    tooth: z.number().int().optional(),
    place: Place,
    at: Point,
    /** false: the point is used exactly as placed, without looking for the cusp tip or margin meant. */
    snap: z.boolean().optional(),
  })
  .superRefine((mark, context) => {
    const onPalate = (PALATE_PLACES as readonly string[]).includes(mark.place);
    if (onPalate && mark.tooth !== undefined) {
      context.addIssue({ code: "custom", message: `${mark.place} belongs to no tooth`, path: ["tooth"] });
    } else if (!onPalate && (mark.tooth === undefined || !isTooth(mark.tooth))) {
      context.addIssue({ code: "custom", message: `${mark.place} needs a tooth number by ISO 3950`, path: ["tooth"] });
    } else if (!onPalate && mark.tooth !== undefined && !placeFits(mark.tooth, mark.place)) {
      context.addIssue({ code: "custom", message: `tooth ${mark.tooth} has no ${mark.place}`, path: ["place"] });
    }
  });
export type Landmark = z.infer<typeof Landmark>;

/** Two landmarks name the same spot if tooth and place agree; raphe points are many and never the same. */
export const sameSpot = (
  a: { tooth?: number | undefined; place: Place },
  b: { tooth?: number | undefined; place: Place },
): boolean => a.place !== "median-raphe" && a.tooth === b.tooth && a.place === b.place;

const WORDS: Partial<Record<Place, string>> = {
  "palatal-gingival": "palatal gingival point",
  "lingual-gingival": "lingual gingival point",
  "buccal-gingival-zenith": "buccal gingival zenith",
  "incisive-papilla": "incisive papilla",
  "median-raphe": "median palatal raphe",
  "mesial-contact": "mesial contact point",
  "distal-contact": "distal contact point",
  "incisal-edge-middle": "middle of the incisal edge",
};

/** The place in the trade's words: 'mesiobuccal cusp tip'. */
export const placeWords = (place: Place): string => WORDS[place] ?? place.replaceAll("-", " ");

/** Tooth and place in words: 'mesiobuccal cusp tip of 16', 'incisive papilla'. */
export const landmarkWords = (mark: { tooth?: number | undefined; place: Place }): string =>
  mark.tooth === undefined ? placeWords(mark.place) : `${placeWords(mark.place)} of ${mark.tooth}`;
