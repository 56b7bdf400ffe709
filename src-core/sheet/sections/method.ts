import { fixed, millimetres } from "../format";
import { quiet, type Run, type Section, strong, textCell } from "../sheet";
import type { SheetContext } from "./context";

/** What every number means, the figures assumed, and how uncertain it all is. */
export function methodSection(context: SheetContext): Section {
  const { assumptions } = context.readings;
  const mm = (value: number) => millimetres(value, 2);
  const defined = (name: string, text: string): Run[] => [strong(`${name}. `), quiet(text)];
  return {
    id: "method",
    beginsPage: true,
    blocks: [
      { kind: "heading", text: "Method and uncertainty", note: "what the numbers mean" },
      {
        kind: "list",
        size: "small",
        items: [
          defined(
            "Width",
            "Straight distance in space between the two points named, on each scan by itself; no laying of one scan on the other enters it. Change is later less earlier. Permanent and deciduous teeth are never subtracted from each other.",
          ),
          defined(
            "Arch frame",
            `x to the patient’s left, y to the back, z to the head; origin where the median raphe is nearest to the incisive papilla, dropped on the occlusal plane. Used here: ${frames(context)}.`,
          ),
          defined(
            "Pattern",
            `Weighted least squares of the change of width over the place along the arch, with the full covariance, at each level by itself. D is the fitted change at the canines less that at the first molars; δ = ${millimetres(assumptions.delta)} is a convention. No change: both 90 % intervals within ±0.5 mm. Narrowed: the 95 % interval of the mean change below zero. Fan-shaped: the 95 % interval of D excludes zero and |D| exceeds δ. Parallel: the 90 % interval of D within ±δ. Irregular: χ² above its 95 % point and none of these. Otherwise undecided.`,
          ),
          defined(
            "Opening angle of the teeth",
            "2 · atan(slope / 2), both sides together; not the angle between the halves of the palate.",
          ),
          defined(
            "Front : back and hinge",
            "Intervals by Fieller’s theorem; given only where the denominator exceeds twice its uncertainty, and the hinge only where the angle exceeds five of its standard uncertainties. The hinge is where the fitted line reaches zero: a figure of the line, not a centre in the bone.",
          ),
          defined(
            "Distance map",
            "Nearest distance from each vertex of the later surface to the earlier one, along the earlier surface’s outward side positive.",
          ),
          defined(
            "Uncertainty",
            "Standard uncertainty u from three sources, joined by their squares (JCGM 100:2008): the hand that places points, the registration, the scanner. ± is U = k · u at 95 %, with k as in the record. A change not larger than its own U is called within measurement error.",
          ),
          defined(
            "Points",
            "Points placed anew on each scan re-find the highest point of a cusp, which shifts as the crown tips (0.36 mm at 10°).",
          ),
        ],
      },
      { kind: "heading", text: "Figures assumed", note: "an assumption unless the examiner’s own were entered" },
      {
        kind: "table",
        columns: [
          { header: "standard uncertainty", width: 290, align: "start" },
          { header: "u", width: 60, align: "end" },
          { header: "", width: "rest", align: "start" },
        ],
        rows: [
          row("a width from points placed by hand", mm(assumptions.pointWidth), "per scan"),
          row("scanner across the arch at the canines", mm(assumptions.scannerAtCanines), "per scan, an assumption"),
          row(
            "scanner across the arch at the first molars",
            mm(assumptions.scannerAtMolars),
            "per scan, an assumption",
          ),
          row("scanner, locally", mm(assumptions.scannerLocal), "per point, an assumption"),
        ],
      },
      {
        kind: "paragraph",
        size: "small",
        runs: [
          quiet(
            "The scanner’s error rises in proportion to the distance behind the canines, is fully correlated along the arch and independent between scans. " +
              `δ of the verdict: ${fixed(assumptions.delta, 1)}\u00a0mm.`,
          ),
        ],
      },
    ],
  };
}

const row = (name: string, value: string, remark: string) => ({
  cells: [textCell(name), textCell(value), textCell([quiet(`\u2002${remark}`)])],
});

function frames({ readings }: SheetContext): string {
  if (readings.frames.length === 0) return "none could be made";
  return readings.frames.map((f) => `${f.timepoint}: ${f.label}`).join("; ");
}
