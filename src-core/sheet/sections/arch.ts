import type { ArchReadings, SpanReading, ToothReading, WidthParts } from "../../readings/arch-document";
import { CROWN_HEIGHT_MEANS } from "../../readings/crown-height";
import { PERIMETERS } from "../../readings/perimeter";
import { pairWords, plusMinus, signed } from "../format";
import { type Block, type Cell, type Column, plain, quiet, type Run, type Section, strong, textCell } from "../sheet";
import { comparedKinds, type SheetContext } from "./context";
import { changeCell, spanTable, valueText } from "./span-table";

const NOTE = "± is the 95 % uncertainty; * within measurement error";

/** Depth, perimeter, form and midline; right and left; what the points of each tooth tell. */
export function archSection(context: SheetContext): Section {
  const { arch, midline, pairs, parts, teeth, notAsked } = context.readings.arch;
  const rows = [...arch, ...midline, ...pairs];
  const lacking = notAsked.filter(({ reading }) => !reading.startsWith("palatal"));
  return {
    id: "arch",
    blocks: [
      { kind: "heading", text: "Arch", note: rows.length === 0 ? "" : `each scan by itself; ${NOTE}` },
      ...(rows.length === 0 ? [] : [spanTable(context, rows)]),
      ...(lacking.length === 0 ? [] : [small([quiet(notAskedText(lacking))])]),
      ...predictionBlocks(context.readings.arch),
      ...sidesBlocks(context, parts),
      ...teethBlocks(context, teeth),
    ],
  };
}

const small = (runs: readonly Run[]): Block => ({ kind: "paragraph", size: "small", runs });

/** One quiet line on what nobody placed points for. */
export const notAskedText = (notAsked: readonly { reading: string; points: string }[]): string =>
  `Not read, as no points are placed for it: ${notAsked.map(({ reading, points }) => `${reading} (${points})`).join("; ")}.`;

/** What published rules predict of the perimeter, under what was measured. */
function predictionBlocks({ arch, predictedPerimeters }: ArchReadings): Block[] {
  if (predictedPerimeters.length === 0) return [];
  const measured = arch.find(({ name }) => PERIMETERS.some((perimeter) => perimeter.name === name))?.change;
  const gain = (given: SpanReading["change"], number: (text: string) => Run): Cell =>
    given.state === "withheld"
      ? textCell([{ text: given.reason.text, tone: "asks" }])
      : textCell([
          number(signed(given.reading.value, 1)),
          quiet(`\u00a0${plusMinus(given.reading.expandedUncertainty, 1)}`),
        ]);
  return [
    {
      kind: "heading",
      text: "Change of perimeter, measured and predicted",
      note: "mm; as a comparison: a prediction, not a measurement",
    },
    {
      kind: "table",
      dense: true,
      columns: [
        { header: "", width: "rest", align: "start" },
        { header: "change", width: 170, align: "end" },
      ],
      rows: [
        ...(measured === undefined ? [] : [{ cells: [textCell([strong("measured")]), gain(measured, strong)] }]),
        ...predictedPerimeters.map(({ method, rule, gain: predicted }) => ({
          cells: [textCell([plain(`predicted, ${method}`), quiet(`: ${rule}`)]), gain(predicted, plain)],
        })),
      ],
    },
    small([
      quiet(
        `± is the 95 % uncertainty of the measured changes alone; how far single patients scatter about a rule comes on top and is not given by its source. ${predictedPerimeters.map(({ source }) => source).join(". ")}.`,
      ),
    ]),
  ];
}

/** The levels whose sides stand on the sheet; all are in the readings file. */
const SIDE_LEVELS: readonly string[] = ["cusp-tip", "palatal-gingival"];

function sidesBlocks(context: SheetContext, all: readonly WidthParts[]): Block[] {
  const parts = all.filter(({ level, right, left }) => SIDE_LEVELS.includes(level) && right !== null && left !== null);
  if (parts.length === 0) return [];
  const columns: Column[] = [
    { header: "pair", width: 34, align: "start" },
    { header: "at", width: "rest", align: "start" },
    { header: "across, change", width: 76, align: "end" },
    { header: "right part", width: 70, align: "end" },
    { header: "change", width: 66, align: "end" },
    { header: "left part", width: 70, align: "end" },
    { header: "change", width: 66, align: "end" },
  ];
  return [
    { kind: "heading", text: "Right and left", note: `mm from the median plane; ${NOTE}` },
    {
      kind: "table",
      dense: true,
      columns,
      rows: parts.map(({ pair, at, transverse, right, left }) => ({
        cells: [
          textCell([strong(pairWords(pair))]),
          textCell([quiet(at)]),
          changeCell(transverse),
          ...[right!, left!].flatMap((side) => [fromTo(context, side), changeCell(side)]),
        ],
      })),
    },
    small([
      quiet(
        "Parts of the width across the arch about the raphe of each scan; they add up to it. Withheld where the uncertainty, mostly that of the raphe, exceeds 1.0 mm. They do not show which half moved in the head.",
      ),
    ]),
  ];
}

/** '15.1 → 18.3' in the colours of the two times; a time that is withheld is a dash. */
function fromTo(context: SheetContext, reading: SpanReading): Cell {
  const kinds = comparedKinds(context);
  const run = (time: "before" | "after", tone: "before" | "after" | "retention"): Run => {
    const given = reading[time];
    return given.state === "given"
      ? { text: valueText(given.reading.value, reading.unit), tone }
      : { text: "–", tone: "quiet" };
  };
  return textCell([run("before", kinds.from), quiet("\u00a0→\u00a0"), run("after", kinds.to)]);
}

function teethBlocks(context: SheetContext, teeth: readonly ToothReading[]): Block[] {
  if (teeth.length === 0) return [];
  const group = (header: string): Column[] => [
    { header, width: 84, align: "end" },
    { header: "change", width: 70, align: "end" },
  ];
  const columns: Column[] = [
    { header: "tooth", width: "rest", align: "start" },
    ...group("inclination, °"),
    ...group("rotation, °"),
    ...group("crown height, mm"),
  ];
  const cells = (reading: SpanReading | null): Cell[] =>
    reading === null
      ? [textCell([quiet("–")]), textCell([])]
      : [fromTo(context, reading), reading.change.state === "given" ? changeCell(reading) : textCell([])];
  return [
    { kind: "heading", text: "Teeth by their points", note: NOTE },
    {
      kind: "table",
      dense: true,
      columns,
      rows: teeth.map(({ tooth, inclination, rotation, crownHeight }) => ({
        cells: [textCell([strong(String(tooth))]), ...[inclination, rotation, crownHeight].flatMap(cells)],
      })),
    },
    small([
      plain(
        teeth.some(({ crownRegistered }) => crownRegistered)
          ? "Where a crown was registered to itself, its tipping and turning under ‘Teeth against their half’ are the better reading of the change. "
          : "",
      ),
      quiet(
        `Inclination against the occlusal plane, positive change with the crown to the cheek or lip: molars and premolars by the line of buccal and palatal cusp, canines and incisors from the middle of their gingival points to tip or edge. Rotation of the line from palatal to buccal cusp (canines, incisors: from mesial to distal contact) against the median plane, positive change with the mesial side to the cheek. Crown height from the buccal gingival zenith to cusp or edge; ${CROWN_HEIGHT_MEANS}.`,
      ),
    ]),
  ];
}
