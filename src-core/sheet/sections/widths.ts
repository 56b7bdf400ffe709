import type { Quantity, WidthReading, Withheld } from "../../readings/readings-document";
import type { Figure, FigurePoint, Primitive } from "../figure";
import { fixed, pairWords, plusMinus, signed, signedMillimetres } from "../format";
import { type Cell, type Column, plain, quiet, type Section, strong, textCell } from "../sheet";
import { MARKER_SHAPE, type TimepointKind } from "../style";
import { comparedKinds, type SheetContext } from "./context";

const WITHIN = "within measurement error";

/** Every width: pair, level, before, after, change, each ± U, and the changes as bars on one scale. */
export function widthsSection(context: SheetContext): Section {
  const { readings } = context;
  const kinds = comparedKinds(context);
  if (readings.widths.length === 0) {
    return {
      id: "widths",
      blocks: [
        { kind: "heading", text: "Widths", note: "" },
        { kind: "paragraph", runs: [quiet("No width was asked for: no pair of landmarks is given.")], size: "normal" },
      ],
    };
  }
  const scale = barScale(readings.widths);
  const columns: Column[] = [
    { header: "pair", width: 34, align: "start" },
    { header: "at", width: "rest", align: "start" },
    { header: readings.span.from, width: 36, align: "end", tone: kinds.from },
    { header: "", width: 28, align: "end" },
    { header: readings.span.to, width: 36, align: "end", tone: kinds.to },
    { header: "", width: 28, align: "end" },
    { header: "change", width: 40, align: "end" },
    { header: "", width: 28, align: "end" },
    { header: "", width: scale.width + (scale.words ? WORDS_WIDTH : 0) + 10, align: "end" },
  ];
  return {
    id: "widths",
    blocks: [
      { kind: "heading", text: "Widths", note: "mm, straight distance; ± is the 95 % expanded uncertainty" },
      {
        kind: "table",
        dense: readings.widths.length > 10,
        columns,
        rows: readings.widths.map((w) => ({ cells: cellsOf(w, kinds, scale) })),
      },
    ],
  };
}

function cellsOf(width: WidthReading, kinds: { from: TimepointKind; to: TimepointKind }, scale: BarScale): Cell[] {
  const cells: Cell[] = [textCell([strong(pairWords(width.pair))]), textCell([quiet(width.at)])];
  const rest = 3;
  const { before, after, change } = width;
  const asks = (reason: Withheld, columns: number): Cell => textCell([{ text: reason.text, tone: "asks" }], columns);
  if (before.state === "withheld" && after.state === "withheld") return [...cells, asks(before.reason, 4 + rest)];
  for (const [given, tone] of [
    [before, kinds.from],
    [after, kinds.to],
  ] as const) {
    if (given.state === "given") {
      cells.push(textCell([{ text: fixed(given.reading.value, 1), tone }]));
      cells.push(textCell([quiet(plusMinus(given.reading.expandedUncertainty))]));
    } else if (given === after) {
      return [...cells, asks(given.reason, 2 + rest)];
    } else {
      cells.push(textCell([quiet("withheld")], 2));
    }
  }
  if (change.state === "withheld") return [...cells, asks(change.reason, rest)];
  cells.push(
    textCell([plain(signed(change.reading.value, 1))]),
    textCell([quiet(plusMinus(change.reading.expandedUncertainty))]),
    { kind: "figure", figure: bar(change.reading, kinds.to, scale, width) },
  );
  return cells;
}

/** Width of the bars, and of the words beside them where a change is within its error. */
const BAR_WIDTH = { alone: 118, besideWords: 70 } as const;
const WORDS_WIDTH = 84;
const BAR_HEIGHT = 9;

interface BarScale {
  /** Changes at the left and right end, mm. */
  readonly low: number;
  readonly high: number;
  /** Points. */
  readonly width: number;
  /** Whether words stand beside the bars. */
  readonly words: boolean;
}

function barScale(widths: readonly WidthReading[]): BarScale {
  const changes = widths.flatMap((w) => (w.change.state === "given" ? [w.change.reading] : []));
  const words = widths.some((w) => w.withinMeasurementError === true);
  return {
    words,
    width: words ? BAR_WIDTH.besideWords : BAR_WIDTH.alone,
    low: Math.min(0, ...changes.map((c) => c.value - c.expandedUncertainty)),
    high: Math.max(1, ...changes.map((c) => c.value + c.expandedUncertainty)),
  };
}

/** A change on the scale that all rows share: a tick at zero, dots up to the value, the value with its 95 % error. */
function bar(change: Quantity, kind: TimepointKind, scale: BarScale, width: WidthReading): Figure {
  const room = scale.width - 6;
  const at = (value: number) => 3 + ((value - scale.low) / (scale.high - scale.low)) * room;
  const y = BAR_HEIGHT / 2;
  const within = width.withinMeasurementError === true;
  const primitives: Primitive[] = [
    { kind: "line", from: [at(0), 0.5], to: [at(0), BAR_HEIGHT - 0.5], stroke: "rule", width: 0.8 },
    { kind: "line", from: [at(0), y], to: [at(change.value), y], stroke: kind, width: 0.6, dash: [0.8, 1.6] },
    {
      kind: "line",
      from: [at(change.value - change.expandedUncertainty), y],
      to: [at(change.value + change.expandedUncertainty), y],
      stroke: kind,
      width: 1.1,
    },
    {
      kind: "marker",
      at: [at(change.value), y],
      shape: MARKER_SHAPE[kind],
      size: 4.4,
      fill: within || kind === "retention" ? "paper" : kind,
      stroke: kind,
      width: 0.9,
    },
  ];
  if (within) {
    const at: FigurePoint = [scale.width + 5, y + 2.3];
    primitives.push({ kind: "text", at, anchor: "start", text: WITHIN, font: "sans", size: 6.5, colour: "quiet" });
  }
  return {
    width: scale.width + (scale.words ? WORDS_WIDTH : 0),
    height: BAR_HEIGHT,
    description: `Change of ${pairWords(width.pair)}, ${width.at}: ${signedMillimetres(change.value)} ${plusMinus(change.expandedUncertainty)}`,
    primitives,
  };
}
