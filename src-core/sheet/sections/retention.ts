import type { RetentionReading, RetentionWidth } from "../../readings/retention-document";
import { interval, millimetres, pairWords, plusMinus, signed } from "../format";
import {
  type Block,
  type Cell,
  type Column,
  type FactsBlock,
  plain,
  quiet,
  type Section,
  strong,
  textCell,
} from "../sheet";
import type { SheetContext } from "./context";

const COLUMNS: readonly Column[] = [
  { header: "pair", width: 34, align: "start" },
  { header: "at", width: "rest", align: "start" },
  { header: "gain by expansion", width: 78, align: "end" },
  { header: "", width: 28, align: "end" },
  { header: "lost since", width: 54, align: "end" },
  { header: "", width: 28, align: "end" },
  { header: "", width: 8, align: "end" },
  { header: "lost, % of the gain", width: 82, align: "end" },
  { header: "95 % interval", width: 68, align: "end" },
];

/** Common practice keeps what was gained at least this long, days. */
const YEAR = 365;

/** How much of each width was lost since the end of turning, in mm and in per cent of the gain. */
export function retentionSection({ readings: { retention } }: SheetContext): Section {
  if (retention === null) return { id: "retention", blocks: [] };
  const blocks: Block[] = [
    {
      kind: "heading",
      text: "Since the end of turning",
      note: "mm; a loss is positive, a gain negative; ± is the 95 % uncertainty",
    },
    { kind: "facts", facts: factsOf(retention) },
    {
      kind: "table",
      dense: retention.widths.length > 10,
      columns: COLUMNS,
      rows: retention.widths.map((width) => ({ cells: cellsOf(width) })),
    },
  ];
  const said = remarksOf(retention);
  if (said.length > 0) blocks.push({ kind: "paragraph", size: "small", runs: said.map((text) => plain(`${text} `)) });
  blocks.push({
    kind: "paragraph",
    size: "small",
    runs: [
      quiet(
        `* within measurement error. Per cent: (end of turning − retention) / (end of turning − before), interval by Fieller’s theorem with the error of the scan that both share. ${practice(retention)}`,
      ),
    ],
  });
  return { id: "retention", keepTogether: retention.widths.length <= 12, blocks };
}

function factsOf(retention: RetentionReading): FactsBlock["facts"] {
  const { days, daysSinceTurning, fixedApplianceActive, uprightingIntended, plannedOverCorrection } = retention;
  const length = (n: number) => `${n} ${n === 1 ? "day" : "days"}`;
  return [
    { label: "in retention", value: days === null ? "not known: a date is missing" : length(days) },
    ...(daysSinceTurning === null || daysSinceTurning === days
      ? []
      : [{ label: "since the last turn", value: length(daysSinceTurning) }]),
    { label: "fixed appliance", value: fixedApplianceActive ? "active" : "not stated as active" },
    ...(uprightingIntended ? [{ label: "uprighting", value: "intended" }] : []),
    ...(plannedOverCorrection === null
      ? []
      : [{ label: "planned over-correction", value: millimetres(plannedOverCorrection) }]),
  ];
}

function cellsOf({ pair, at, gain, loss, percent, withinMeasurementError }: RetentionWidth): Cell[] {
  const cells: Cell[] = [textCell([strong(pairWords(pair))]), textCell([quiet(at)])];
  if (loss.state === "withheld") return [...cells, textCell([{ text: loss.reason.text, tone: "asks" }], 7)];
  if (gain.state === "given") {
    cells.push(textCell(signed(gain.reading.value, 1)), textCell([quiet(plusMinus(gain.reading.expandedUncertainty))]));
  } else {
    cells.push(textCell([quiet("withheld")]), textCell([]));
  }
  const { value, expandedUncertainty } = loss.reading;
  cells.push(
    textCell([strong(signed(value, 1))]),
    textCell([quiet(plusMinus(expandedUncertainty))]),
    textCell([quiet(withinMeasurementError === true ? "*" : "")]),
  );
  if (percent.state === "withheld") {
    const short = percent.reason.code === "gain-within-error" ? "not calculable" : "withheld";
    return [...cells, textCell([{ text: short, tone: "asks" }]), textCell([])];
  }
  const { value: share, low, high } = percent.reading;
  return [...cells, textCell(`${signed(share, 0)}\u00a0%`), textCell([quiet(interval(low, high, 0))])];
}

function remarksOf({
  widths,
  plannedOverCorrection,
  uprightingIntended,
  fixedApplianceActive,
  before,
}: RetentionReading) {
  const said: string[] = [];
  for (const { pair, at, overCorrection } of widths) {
    if (overCorrection === null || plannedOverCorrection === null) continue;
    const planned = `the planned over-correction of ${millimetres(plannedOverCorrection)}`;
    const beside = {
      within: `lies within ${planned}`,
      about: `is about ${planned}: the difference is within measurement error`,
      beyond: `exceeds ${planned}`,
    }[overCorrection];
    said.push(`The loss at ${pairWords(pair)}, ${at}, ${beside}.`);
  }
  if (uprightingIntended) said.push("Teeth are meant to upright: part of the loss at the cusps is intended.");
  if (fixedApplianceActive) {
    said.push("A fixed appliance was active: the widths show its work as well as any loss.");
  }
  if (before === null) said.push("Per cent withheld: needs the scan from before the expansion.");
  const unclear = widths.filter((w) => w.percent.state === "withheld" && w.percent.reason.code === "gain-within-error");
  if (unclear.length > 0) said.push("Not calculable: the gain is not beyond its own measurement error.");
  return said;
}

const practice = ({ days, daysSinceTurning }: RetentionReading): string => {
  const since = daysSinceTurning ?? days;
  return since !== null && since < YEAR
    ? "Common practice, no source: seven months after an expansion the suture is not yet fully remodelled, so retention runs for at least a year; these scans do not show the suture."
    : "";
};
