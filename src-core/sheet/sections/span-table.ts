import { grouped } from "../../grouped";
import type { SpanReading } from "../../readings/arch-document";
import type { Given, Quantity } from "../../readings/quantity";
import { fixed, plusMinus, signed, uncertaintyText } from "../format";
import { type Cell, type Column, plain, quiet, type TableBlock, textCell } from "../sheet";
import { comparedKinds, type SheetContext } from "./context";

const DECIMALS: Readonly<Record<SpanReading["unit"], number>> = {
  mm: 1,
  mm2: 0,
  mm3: 0,
  degrees: 1,
  percent: 1,
  "1": 2,
};

/** The unit as it stands behind a reading's name. */
export const UNIT_WORDS: Readonly<Record<SpanReading["unit"], string>> = {
  mm: "mm",
  mm2: "mm²",
  mm3: "mm³",
  degrees: "°",
  percent: "%",
  "1": "",
};

/** A value in its reading's decimals; large ones in groups of three. */
export const valueText = (value: number, unit: SpanReading["unit"]): string =>
  isLarge(unit) ? grouped(Math.round(value)) : fixed(value, DECIMALS[unit]);

const isLarge = (unit: SpanReading["unit"]): boolean => unit === "mm2" || unit === "mm3";

const changeText = (value: number, unit: SpanReading["unit"]): string => {
  if (!isLarge(unit)) return signed(value, DECIMALS[unit]);
  const rounded = Math.round(Math.abs(value));
  return rounded === 0 ? "0" : `${value < 0 ? "\u2212" : "+"}${grouped(rounded)}`;
};

/** '+2.8 ± 0.4 *', the star where it is within measurement error. */
export function changeCell({ change, unit, withinMeasurementError }: SpanReading): Cell {
  if (change.state === "withheld") return textCell([quiet("withheld")]);
  const { value, expandedUncertainty } = change.reading;
  return textCell([
    plain(changeText(value, unit)),
    quiet(`\u00a0${plusMinus(expandedUncertainty, DECIMALS[unit])}${withinMeasurementError === true ? "\u00a0*" : ""}`),
  ]);
}

/** Readings before and after with their changes, one a row, in the look of the widths. */
export function spanTable(context: SheetContext, readings: readonly SpanReading[]): TableBlock {
  const { span } = context.readings;
  const kinds = comparedKinds(context);
  const columns: Column[] = [
    { header: "", width: "rest", align: "start" },
    { header: span.from, width: 44, align: "end", tone: kinds.from },
    { header: "", width: 36, align: "end" },
    { header: span.to, width: 44, align: "end", tone: kinds.to },
    { header: "", width: 36, align: "end" },
    { header: "change", width: 44, align: "end" },
    { header: "", width: 36, align: "end" },
    { header: "", width: 10, align: "end" },
  ];
  const asks = (given: Given<Quantity>, width: number): Cell =>
    textCell(given.state === "withheld" ? [{ text: given.reason.text, tone: "asks" }] : [], width);
  const cells = (reading: SpanReading): Cell[] => {
    const { name, unit, before, after, change } = reading;
    const words = UNIT_WORDS[unit];
    const row: Cell[] = [textCell([plain(name), ...(words === "" ? [] : [quiet(`, ${words}`)])])];
    if (before.state === "withheld") return [...row, asks(before, 7)];
    const pair = ({ reading: q }: { reading: Quantity }, tone: "before" | "after" | "retention"): Cell[] => [
      textCell([{ text: valueText(q.value, unit), tone }]),
      textCell([quiet(`±\u00a0${uncertaintyText(q.expandedUncertainty, DECIMALS[unit])}`)]),
    ];
    row.push(...pair(before, kinds.from));
    if (after.state === "withheld") return [...row, asks(after, 5)];
    row.push(...pair(after, kinds.to));
    if (change.state === "withheld") return [...row, asks(change, 3)];
    return [
      ...row,
      textCell([plain(changeText(change.reading.value, unit))]),
      textCell([quiet(plusMinus(change.reading.expandedUncertainty, DECIMALS[unit]))]),
      textCell([quiet(reading.withinMeasurementError === true ? "*" : "")]),
    ];
  };
  return { kind: "table", dense: true, columns, rows: readings.map((reading) => ({ cells: cells(reading) })) };
}

/** 'arch depth: perpendicular from …; arch perimeter: …' for the readings' definitions, each once. */
export const definitionsText = (readings: readonly SpanReading[]): string =>
  readings.map(({ name, by }) => `${name.charAt(0).toUpperCase()}${name.slice(1)}: ${by}.`).join(" ");
