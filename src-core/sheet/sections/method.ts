import { millimetres } from "../format";
import { type Block, quiet, type Run, type Section, strong, textCell } from "../sheet";
import type { SheetContext } from "./context";
import { usedText } from "./repeats";
import { definitionsText } from "./span-table";

/** What every number means. */
export function methodSection(context: SheetContext): Section {
  const { assumptions } = context.readings;
  const defined = (name: string, text: string): Run[] => [strong(`${name}. `), quiet(text)];
  return {
    id: "method",
    blocks: [
      { kind: "heading", text: "Method and uncertainty", note: "what the numbers mean" },
      {
        kind: "list",
        size: "small",
        items: [
          defined(
            "Width",
            "Straight distance in space between the two points named, on each scan by itself; laying one scan on the other enters it only where a point was carried over. Change is later less earlier. Permanent and deciduous teeth are never subtracted from each other.",
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
            "Two halves",
            "Each half of the palate is laid on the later scan by itself; the left half against the right is M = T⁻¹(right) · T(left) in the earlier arch frame. Angles are the components of its rotation vector; openings and shifts are those of the palatal surface at the median plane, each half taking half of M. Verdict as for the pattern, at the two stations. The scanner’s turn of one side against the other is taken as alike about the three axes. The axis is given only where the opening angle exceeds five of its standard uncertainties (Fieller). Where a scan shows no palate, the crowns of each side take the place of its half, as one rigid group: teeth, tipping contained; how far single crowns differ from their group is added to its uncertainty (jackknife).",
          ),
          defined(
            "Teeth against their half",
            "Each crown’s surface, 1 mm away from contacts and gingival margin, is registered to itself on the later scan; its motion is seen against the registration of its half of the palate, and against that of the whole palate (without a palate: against the crowns of its side, and against all). Directions are fixed on the earlier scan: buccal across the arch form, mesial along it, occlusal against the head; angles are the components of the rotation vector. Against its own half it carries the scanner’s local figure only, since what lies close together is off together; against the whole palate also half of the figure across the arch at the crown’s station.",
          ),
          ...archItems(context).map(({ name, text }) => defined(name, text)),
          defined(
            "Gingival level against cusps",
            "Change at the palatal gingival points over change at the cusp tips of the same pair, with Fieller’s interval; given only where the change at the cusps exceeds twice its uncertainty. The apparent pivot in the frontal view is h·B/(1 − B) above the gingival points, with B the ratio and h the height between the two levels. Tipping from the points is the change of the direction from gingival point to cusp in the frontal plane of each scan’s arch frame.",
          ),
          defined(
            "Distance map",
            "Nearest distance from each vertex of the later surface to the earlier one, along the earlier surface’s outward side positive.",
          ),
          defined(
            "Uncertainty",
            `Standard uncertainty u from three sources, joined by their squares (JCGM 100:2008): the hand that places points, the registration, the scanner. ${handSource(context)} ± is U = k · u at 95 %, with k as in the readings file. A change not larger than its own U is called within measurement error.`,
          ),
          defined(
            "Points",
            "A point placed on one scan only is carried to the other by the registration of its crown (papilla and raphe: midway between where both halves of the palate carry them), so that it is the same material point; its placement then enters a change only as far as the crown tipped, and the registration’s covariance is added. Points placed by hand on both scans stay as placed; the readings file holds the carried reading beside. Points placed anew on each scan re-find the highest point of a cusp, which shifts as the crown tips (0.36 mm at 10°).",
          ),
        ],
      },
    ],
  };
}

/** How each reading of arch and palate that is there was taken. */
function archItems({ readings }: SheetContext): { name: string; text: string }[] {
  const { arch, midline, pairs, palate } = readings.arch;
  const items = [
    { name: "Arch", text: definitionsText([...arch, ...midline, ...pairs]) },
    { name: "Palate", text: definitionsText(palate) },
  ];
  return items.filter(({ text }) => text !== "");
}

/** Where the figure for the hand comes from. */
function handSource({ readings: { repeats, assumptions } }: SheetContext): string {
  return repeats === null
    ? `The hand’s figure, ${millimetres(assumptions.pointWidth, 2)} a width, is ${ASSUMED_HAND}.`
    : `${usedText(repeats, assumptions.pointWidth)} The assumed figure is ${ASSUMED_HAND}; a figure from repeats has limited degrees of freedom, so k follows from Welch and Satterthwaite.`;
}

const ASSUMED_HAND =
  "within published errors of arch widths on casts (0.22 to 0.31 mm by Dahlberg, seen second-hand) unless the practice’s own was entered";

/** The figures that the uncertainties stand on. */
export function assumedBlocks(context: SheetContext): Block[] {
  const { assumptions } = context.readings;
  const row = (name: string, value: number) => ({ cells: [textCell(name), textCell(millimetres(value, 2))] });
  return [
    { kind: "heading", text: "Figures assumed", note: "standard uncertainties" },
    {
      kind: "table",
      columns: [
        { header: "", width: "rest", align: "start" },
        { header: "", width: 46, align: "end" },
      ],
      rows: [
        row("a width from points placed by hand", assumptions.pointWidth),
        row("scanner across the arch, at the canines", assumptions.scannerAtCanines),
        row("scanner across the arch, at the first molars", assumptions.scannerAtMolars),
        row("scanner, locally", assumptions.scannerLocal),
      ],
    },
    {
      kind: "paragraph",
      size: "small",
      runs: [
        quiet(
          "Each per scan. The scanner’s figures are an assumption unless the practice’s own were entered; its error rises in proportion to the distance behind the canines, is fully correlated along the arch and independent between scans.",
        ),
      ],
    },
  ];
}

function frames({ readings }: SheetContext): string {
  if (readings.frames.length === 0) return "none could be made";
  return readings.frames.map((f) => `${f.timepoint}: ${f.label}`).join("; ");
}
