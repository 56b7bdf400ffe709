import type { Figure, Primitive } from "../figure";
import { pathOf, rectanglePath } from "../figure";
import { distanceHistogram } from "../figures/distance-histogram";
import { fixed, percent, signed, signedMillimetres } from "../format";
import { hexOf } from "../picture/colour";
import { distanceColour } from "../picture/colour-map";
import { type Block, quiet, type Section } from "../sheet";
import { archFigure } from "./arch-figure";
import type { SheetContext } from "./context";
import { fitBlocks } from "./fit";
import { COLUMN_WIDTH } from "./opening";

/** The distance map from below with its scale; beside it the overlay from the front and how well it fits. */
export function surfacesSection(context: SheetContext): Section {
  return {
    id: "surfaces",
    blocks: [{ kind: "side-by-side", left: distanceBlocks(context), right: frontBlocks(context) }],
  };
}

function distanceBlocks(context: SheetContext): Block[] {
  const { distance, span } = context.readings;
  const heading: Block = { kind: "heading", text: "Distance map", note: "from below" };
  if (distance.state === "withheld") {
    return [
      heading,
      { kind: "paragraph", runs: [{ text: `Withheld: ${distance.reason.text}.`, tone: "asks" }], size: "normal" },
    ];
  }
  const { mean, rms, percentile5, percentile95, robustScale, valued, registration, painted } = distance.reading;
  const map = context.pictures?.distance ?? null;
  const figures: Block[] =
    map === null
      ? []
      : [
          { kind: "figure", figure: archFigure(context, map, { width: COLUMN_WIDTH, height: 205, lines: false }) },
          {
            kind: "figure",
            figure: distanceHistogram(distance.reading.histogram, COLUMN_WIDTH, SCALE_LEFT, COLUMN_WIDTH - SCALE_REST),
          },
          { kind: "figure", figure: distanceScale(map.limit, COLUMN_WIDTH) },
        ];
  return [
    heading,
    ...figures,
    {
      kind: "paragraph",
      size: "small",
      runs: [
        quiet(
          `Signed distance of the ${span.to} surface to the ${span.from} surface, laid over each other by the ${registration.replaceAll("-", " ")}. ` +
            `Mean ${signedMillimetres(mean)}, RMS ${fixed(rms, 1)}\u00a0mm, nine tenths between ${signed(percentile5, 1)} and ${signedMillimetres(percentile95)}, robust scale ${fixed(robustScale, 2)}\u00a0mm; ` +
            `${percent(valued)} of the vertices have a value. ` +
            (painted === null
              ? ""
              : `Over the reference painted on the ${painted.on} scan: mean ${signedMillimetres(painted.mean)}, RMS ${fixed(painted.rms, 2)}\u00a0mm, nine tenths between ${signed(painted.percentile5, 2)} and ${signedMillimetres(painted.percentile95)}, robust scale ${fixed(painted.robustScale, 2)}\u00a0mm. `) +
            "A distance between surfaces is not the path of a point: a tooth that moves along its own surface shows none.",
        ),
      ],
    },
  ];
}

function frontBlocks(context: SheetContext): Block[] {
  const front = context.pictures?.front ?? null;
  const heading: Block = { kind: "heading", text: "From the front", note: "right of the patient on the left" };
  if (front === null) {
    const text =
      context.pictures === null ? "Pictures are drawn when the sheet is issued." : "No picture: no arch frame.";
    return [heading, { kind: "paragraph", runs: [quiet(text)], size: "normal" }, ...fitBlocks(context)];
  }
  return [
    heading,
    { kind: "figure", figure: archFigure(context, front, { width: COLUMN_WIDTH, height: 140, lines: false }) },
    ...fitBlocks(context),
  ];
}

const STEPS = 100;
/** Where the scale begins, and what of the width is not its own, points. */
const SCALE_LEFT = 10;
const SCALE_REST = 76;

/** The scale of the distance map: colours from −limit to +limit with their values and meaning, and the grey hatch. */
export function distanceScale(limit: number, width: number): Figure {
  const room = width - SCALE_REST;
  const left = SCALE_LEFT;
  const [top, height] = [1, 8];
  const primitives: Primitive[] = [];
  for (let i = 0; i < STEPS; i++) {
    primitives.push({
      kind: "path",
      // Each step reaches under the next, so that no seam of paper shows between them.
      path: rectanglePath(left + (room * i) / STEPS, top, room / STEPS + (i + 1 < STEPS ? 0.6 : 0), height),
      fill: hexOf(distanceColour((2 * (i + 0.5)) / STEPS - 1)),
    });
  }
  const decimals = limit < 1 ? 1 : Number.isInteger(limit / 2) ? 0 : 1;
  for (const share of [-1, -0.5, 0, 0.5, 1]) {
    const x = left + (room * (share + 1)) / 2;
    primitives.push(
      { kind: "line", from: [x, top + height], to: [x, top + height + 2], stroke: "quiet", width: 0.5 },
      {
        kind: "text",
        at: [x, top + height + 9],
        anchor: "middle",
        text: share === 0 ? "0" : signed(share * limit, share === 1 || share === -1 ? (limit < 1 ? 1 : 0) : decimals),
        font: "sans",
        size: 6.5,
        colour: "quiet",
      },
    );
  }
  const hatch = left + room + 22;
  primitives.push(
    { kind: "path", path: rectanglePath(hatch, top, 12, height), fill: "#c9c8c4" },
    ...[0, 4, 8].map(
      (shift): Primitive => ({
        kind: "path",
        path: pathOf(
          [
            [hatch + shift, top + height],
            [hatch + shift + 4, top],
          ],
          false,
        ),
        stroke: "quiet",
        width: 0.5,
      }),
    ),
    {
      kind: "text",
      at: [hatch + 15, top + 6.5],
      anchor: "start",
      text: "no value",
      font: "sans",
      size: 6.5,
      colour: "quiet",
    },
    {
      kind: "text",
      at: [left, top + height + 18],
      anchor: "start",
      text: "inwards",
      font: "sans",
      size: 6.5,
      colour: "quiet",
    },
    {
      kind: "text",
      at: [left + room, top + height + 18],
      anchor: "end",
      text: "outwards, mm",
      font: "sans",
      size: 6.5,
      colour: "quiet",
    },
  );
  return {
    width,
    height: 30,
    description: `Scale of the distance map: blue to ${signedMillimetres(-limit)} inwards, warm white at zero, brown to ${signedMillimetres(limit)} outwards; grey hatch where there is no value.`,
    primitives,
  };
}
