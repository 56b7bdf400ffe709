import { openingProfileFigure } from "../figures/opening-profile";
import { type Block, quiet, type Section } from "../sheet";
import { verdictWords } from "../words";
import { archFigure } from "./arch-figure";
import type { SheetContext } from "./context";

/** Width of one of two columns on the sheet, points. */
export const COLUMN_WIDTH = 240;

/** The later arch from below with the earlier one's outlines and the measured lines; beside it the opening profile. */
export function openingSection(context: SheetContext): Section {
  const { readings, pictures } = context;
  const height = readings.widths.length > 10 ? 178 : 238;
  const cusp = readings.patterns.find((p) => p.state === "given" && p.reading.level === "cusp-tip");
  const profile: Block[] = [
    {
      kind: "heading",
      text: "Opening profile",
      note:
        cusp?.state === "given" ? verdictWords(cusp.reading.verdict, readings.span.words) : "widening along the arch",
    },
    { kind: "figure", figure: openingProfileFigure(readings, { width: COLUMN_WIDTH, height }) },
  ];
  const below: Block[] = [
    { kind: "heading", text: "From below", note: "right of the patient on the left" },
    pictures?.below == null
      ? { kind: "paragraph", runs: [quiet(noPicture(context))], size: "normal" }
      : { kind: "figure", figure: archFigure(context, pictures.below, { width: COLUMN_WIDTH, height, lines: true }) },
  ];
  return { id: "opening", blocks: [{ kind: "side-by-side", left: below, right: profile }] };
}

const noPicture = (context: SheetContext): string =>
  context.pictures === null
    ? "Pictures are drawn when the sheet is issued."
    : "No picture: neither scan has an arch frame to be looked at from below.";
