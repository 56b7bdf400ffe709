import { plain, quiet, type Run, type Section, strong } from "../sheet";
import type { SheetContext } from "./context";

/** What the user should know although measuring went on. */
export function warningsSection({ readings }: SheetContext): Section {
  return {
    id: "warnings",
    blocks: [
      { kind: "heading", text: "Warnings", note: "" },
      readings.warnings.length === 0
        ? { kind: "paragraph", runs: [quiet("None.")], size: "normal" }
        : {
            kind: "list",
            size: "small",
            items: readings.warnings.map((w): Run[] => [
              // Most warnings name the scan themselves.
              ...(w.timepoint === null || w.text.includes(`${w.timepoint} scan`) ? [] : [strong(`${w.timepoint}: `)]),
              plain(w.text),
            ]),
          },
    ],
  };
}

/** Every caution, in the readings' own words. */
export function cautionsSection({ readings }: SheetContext): Section {
  return {
    id: "cautions",
    blocks: [
      { kind: "heading", text: "Cautions", note: "method and uncertainty on the last pages" },
      { kind: "paragraph", runs: [quiet(readings.cautions.join(" "))], size: "small" },
    ],
  };
}
