import type { LevelRepeats, RepeatFigures, RepeatReadings } from "../../readings/repeat-readings";
import { fixed, interval, listed, millimetres, signed } from "../format";
import { type Block, type Cell, type Column, plain, quiet, type Section, strong, textCell } from "../sheet";
import { levelWords } from "../words";
import type { SheetContext } from "./context";

const COLUMNS: readonly Column[] = [
  { header: "level", width: 104, align: "start" },
  { header: "of", width: 44, align: "start" },
  { header: "pairs", width: 28, align: "end" },
  { header: "Dahlberg", width: 46, align: "end" },
  { header: "bias", width: 34, align: "end" },
  { header: "95 %", width: 68, align: "end" },
  { header: "limits of agreement", width: 86, align: "end" },
  { header: "detectable change", width: "rest", align: "end" },
];

/** How well the examiner's readings repeat, level by level, and what that does to the uncertainties. */
export function repeatsSection({ readings: { repeats, assumptions } }: SheetContext): Section {
  if (repeats === null) return { id: "repeats", blocks: [] };
  const blocks: Block[] = [
    {
      kind: "heading",
      text: "Repeat readings",
      note: "mm; the examiner’s landmarks placed more than once on the same scan",
    },
    { kind: "table", columns: COLUMNS, rows: repeats.levels.flatMap(rowsOf) },
    { kind: "paragraph", size: "small", runs: [plain(usedText(repeats, assumptions.pointWidth))] },
    {
      kind: "paragraph",
      size: "small",
      runs: [
        quiet(
          "Dahlberg’s error of one reading contains the bias, which is first less second reading with its 95 % interval; limits of agreement after Bland and Altman. Detectable change: the smallest change beyond the hand’s error alone (95 %), from one reading of each scan. Sets are compared in twos, first with second. Intraclass correlation compares error with the spread between patients and is not calculated: n = 1.",
        ),
      ],
    },
  ];
  return { id: "repeats", keepTogether: true, blocks };
}

function rowsOf({ level, widths, changes }: LevelRepeats): { cells: Cell[] }[] {
  return [
    { cells: [textCell([strong(levelWords(level))]), textCell("widths"), ...cellsOf(widths)] },
    // Changes are read where both scans carry repeats.
    ...(changes.state === "given" ? [{ cells: [textCell([]), textCell("changes"), ...cellsOf(changes)] }] : []),
  ];
}

function cellsOf(given: LevelRepeats["widths"]): Cell[] {
  if (given.state === "withheld") return [textCell([{ text: given.reason.text, tone: "asks" }], 6)];
  const { n, error, bias, lower, upper, smallestDetectableChange }: RepeatFigures = given.reading;
  return [
    textCell(String(n)),
    textCell([strong(fixed(error, 2))]),
    textCell(signed(bias.value, 2)),
    textCell([quiet(interval(bias.low, bias.high, 2))]),
    textCell(interval(lower.value, upper.value, 2)),
    textCell(fixed(smallestDetectableChange, 2)),
  ];
}

/** Which figure stands for the hand at each level: the examiner's own, or the assumed one and why. */
export function usedText({ levels }: RepeatReadings, assumed: number): string {
  const own = levels.flatMap(({ level, pointFigure }) =>
    pointFigure.state === "given"
      ? [
          `${levelWords(level)} ${millimetres(pointFigure.reading.pointWidth, 2)} from ${pointFigure.reading.degreesOfFreedom} pairs`,
        ]
      : [],
  );
  const kept = levels.flatMap(({ level, pointFigure }) =>
    pointFigure.state === "withheld"
      ? [`${levelWords(level)} (${pointFigure.reason.text.replace(/: the assumed figure stays$/, "")})`]
      : [],
  );
  const parts = [
    own.length === 0 ? "" : `The uncertainties use the examiner’s own figure for a width: ${listed(own)}.`,
    kept.length === 0 ? "" : `The assumed ${millimetres(assumed, 2)} stays for ${listed(kept)}.`,
  ];
  return parts.filter((text) => text !== "").join(" ");
}
