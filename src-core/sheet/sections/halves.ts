import type { HalvesReading, Quantity } from "../../readings/readings-document";
import { withinError } from "../../readings/uncertainty";
import { fixed, interval, millimetres, plusMinus, sentenceCase, signed } from "../format";
import { type Block, plain, quiet, type Run, type Section, strong, textCell } from "../sheet";
import { verdictWords } from "../words";
import type { SheetContext } from "./context";

/** How the two halves of the palate (without one: the crowns of each side as a group) moved against each other: openings and angles, what they mean beside them. */
export function halvesSection({ readings }: SheetContext): Section {
  const { halves, span } = readings;
  if (halves.state === "withheld") {
    return {
      id: "halves",
      blocks: [
        { kind: "heading", text: "Two halves", note: "" },
        { kind: "paragraph", runs: [{ text: `Withheld: ${halves.reason.text}.`, tone: "asks" }], size: "normal" },
      ],
    };
  }
  const reading = halves.reading;
  return {
    id: "halves",
    keepTogether: true,
    blocks: [
      {
        kind: "side-by-side",
        left: [
          { kind: "heading", text: "Two halves", note: "left against right; ± is the 95 % uncertainty" },
          numbersOf(reading),
        ],
        right: [
          { kind: "heading", text: TITLES[reading.of], note: verdictWords(reading.verdict, span.words) },
          { kind: "paragraph", size: "small", runs: [quiet(`${sentenceCase(reading.label)}.`)] },
          { kind: "paragraph", size: "small", runs: [plain(reading.because)] },
          { kind: "paragraph", size: "small", runs: axisRuns(reading) },
          { kind: "paragraph", size: "small", runs: [quiet("It does not show which half moved in the head.")] },
        ],
      },
    ],
  };
}

const TITLES = { palate: "Opening of the palate", crowns: "Groups of crowns apart" } as const;
const UNITS = { mm: "\u00a0mm", degrees: "°" } as const;

function numbersOf(reading: HalvesReading): Block {
  const row = (name: string, meaning: string, value: Quantity, unit: keyof typeof UNITS) => ({
    cells: [
      textCell([plain(name), ...(meaning === "" ? [] : [quiet(` ${meaning}`)])]),
      textCell([strong(`${signed(value.value, 1)}${UNITS[unit]}`)]),
      textCell([quiet(plusMinus(value.expandedUncertainty)), quiet(withinError(value) ? " *" : "")]),
    ],
  });
  const rows = [
    row(`opening at ${reading.places.canines}`, "", reading.atCanines, "mm"),
    row(`opening at ${reading.places.molars}`, "", reading.atMolars, "mm"),
    row("opening angle", "wider in front", reading.openingAngle, "degrees"),
    row(
      "roll",
      reading.of === "palate" ? "crowns apart more than the vault" : "cusps apart more than the necks",
      reading.roll,
      "degrees",
    ),
    row("pitch", "front of the left half to occlusal", reading.pitch, "degrees"),
    row("left half", "forwards", reading.forwardShift, "mm"),
    row("left half", "to occlusal", reading.occlusalShift, "mm"),
  ];
  return {
    kind: "table",
    columns: [
      { header: "", width: "rest", align: "start" },
      { header: "", width: 42, align: "end" },
      { header: "* within error", width: 52, align: "end" },
    ],
    rows,
  };
}

function axisRuns({ of, axis }: HalvesReading): Run[] {
  if (axis.state === "withheld") return [{ text: `Axis withheld: ${axis.reason.text}.`, tone: "asks" }];
  const { behindCanines, toLeft } = axis.reading;
  const side = toLeft.value < 0 ? "right" : "left";
  return [
    plain(
      `Its axis passes through the occlusal plane ${millimetres(behindCanines.value, 0)} behind the canines (${interval(behindCanines.low, behindCanines.high, 0)}) and ${millimetres(Math.abs(toLeft.value))} to the ${side} of the median plane (${fixed(toLeft.low, 1)} to ${fixed(toLeft.high, 1)} to the left)`,
    ),
    quiet(`: a figure of the two ${of === "palate" ? "surfaces" : "groups of crowns"}, not a centre in the bone.`),
  ];
}
