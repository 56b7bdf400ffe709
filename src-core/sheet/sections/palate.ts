import { quiet, type Section } from "../sheet";
import { notAskedText } from "./arch";
import type { SheetContext } from "./context";
import { spanTable } from "./span-table";

/** Height, cross-sections, surface and volume of the palate. */
export function palateSection(context: SheetContext): Section {
  const { palate, notAsked } = context.readings.arch;
  const lacking = notAsked.filter(({ reading }) => reading.startsWith("palatal"));
  return {
    id: "palate",
    blocks: [
      {
        kind: "heading",
        text: "Palate",
        note:
          palate.length === 0
            ? ""
            : "bounded by the same gingival points at each time; ± is the 95 % uncertainty; * within measurement error",
      },
      ...(palate.length === 0 ? [] : [spanTable(context, palate)]),
      ...(lacking.length === 0
        ? []
        : [{ kind: "paragraph", size: "small", runs: [quiet(notAskedText(lacking))] } as const]),
    ],
  };
}
