import { crownTop, type Place } from "../arch/landmark";
import { kindOf, type ToothPair, UPPER_PAIRS } from "../arch/teeth";
import type { WidthLevel } from "./readings-document";

/** A width that the sheet knows: which pair, at which level, between which places. */
export interface WidthDefinition {
  readonly pair: ToothPair;
  readonly level: WidthLevel;
  readonly place: Place;
  /** The places in the trade's words, plural: 'mesiobuccal cusp tips'. */
  readonly at: string;
}

function definitionsOf(pair: ToothPair): WidthDefinition[] {
  const cusp = crownTop(pair.right);
  const list: WidthDefinition[] = [{ pair, level: "cusp-tip", place: cusp, at: `${cusp.replaceAll("-", " ")}s` }];
  if (kindOf(pair.right) === "molar") {
    list.push(
      { pair, level: "mesiopalatal-cusp-tip", place: "mesiopalatal-cusp-tip", at: "mesiopalatal cusp tips" },
      { pair, level: "central-fossa", place: "central-fossa", at: "central fossae" },
    );
  }
  list.push({ pair, level: "palatal-gingival", place: "palatal-gingival", at: "palatal gingival points" });
  return list;
}

const LEVEL_ORDER: readonly WidthLevel[] = ["cusp-tip", "palatal-gingival", "mesiopalatal-cusp-tip", "central-fossa"];

/** Every width, in the sheet's order: level by level, from front to back. */
export const WIDTHS: readonly WidthDefinition[] = LEVEL_ORDER.flatMap((level) =>
  UPPER_PAIRS.flatMap(definitionsOf).filter((definition) => definition.level === level),
);

/** The widths that an empty sheet asks for: cusp tips of 3–3 to 6–6 and the gingival level of canines and molars. */
export const FIRST_ASKED: readonly WidthDefinition[] = WIDTHS.filter(
  ({ pair, level }) =>
    (level === "cusp-tip" && ["3-3", "4-4", "5-5", "6-6"].includes(pair.name)) ||
    (level === "palatal-gingival" && ["3-3", "4-4", "6-6"].includes(pair.name)),
);
