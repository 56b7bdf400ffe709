import type { Given, Interval, Readings } from "../../readings/readings-document";
import { fixed, interval, listed, pairWords, plusMinus, signed } from "../format";
import { type Block, type Cell, type Column, plain, quiet, type Run, strong, textCell } from "../sheet";

const COLUMNS: readonly Column[] = [
  { header: "pair", width: 30, align: "start" },
  { header: "gingival : cusp", width: 70, align: "end" },
  { header: "95 % interval", width: 76, align: "end" },
  { header: "pivot, mm above gingival points", width: 140, align: "end" },
  { header: "95 % interval", width: 76, align: "end" },
];
/** Only where some tooth has it. */
const ANGLES: Column = { header: "tipping from the points", width: "rest", align: "end" };
/** A pivot farther away than this is far away: more digits would say nothing. */
const FAR = 100;

/** What the two levels of each pair tell of tipping; nothing where no pair has both. */
export function tippingBlocks({ tipping }: Readings): Block[] {
  if (tipping.length === 0) return [];
  const angles = tipping.some(({ anglesFromPoints }) => anglesFromPoints.some(({ angle }) => angle.state === "given"));
  return [
    {
      kind: "heading",
      text: "Gingival level against cusps",
      note: "change at the palatal gingival points over change at the cusp tips",
    },
    {
      kind: "table",
      dense: true,
      columns: angles ? [...COLUMNS, ANGLES] : COLUMNS,
      rows: tipping.map((reading) => ({
        cells: [
          textCell([strong(pairWords(reading.pair))]),
          ...intervalCells(reading.gingivalToCusp, 2),
          ...(reading.gingivalToCusp.state === "given" ? intervalCells(reading.pivotAboveGingival, 0) : []),
          ...(angles ? [textCell(angleRuns(reading.anglesFromPoints))] : []),
        ],
      })),
    },
    {
      kind: "paragraph",
      size: "small",
      runs: [
        quiet(
          "Not a share of bodily movement: crowns that only tip, about a point 5 mm above the gingival points with 6 mm from there to the cusps, have a ratio of 0.45. The pivot is where the crowns seem to have turned in the frontal view, not a centre in the bone; it is given only where the ratio lies between 0 and 1 beyond its error. Tipping from the points, positive to the cheek, stands only where no registration of the crown gives it better.",
        ),
      ],
    },
  ];
}

/** A number and its interval, or the reason in their place; a withheld ratio takes the pivot's columns too. */
function intervalCells(given: Given<Interval>, decimals: number): Cell[] {
  if (given.state === "withheld") {
    const columns = decimals === 2 ? 4 : 2;
    const reason = decimals === 2 ? given.reason.text : "withheld";
    return [textCell([{ text: reason, tone: "asks" }], columns)];
  }
  const { value, low, high } = given.reading;
  return [textCell([plain(fixed(value, decimals))]), textCell([quiet(range(low, high, decimals))])];
}

const range = (low: number, high: number, decimals: number): string =>
  high > FAR ? `${fixed(low, decimals)} to over ${FAR}` : interval(low, high, decimals);

function angleRuns(angles: Readings["tipping"][number]["anglesFromPoints"]): Run[] {
  const texts = angles.flatMap(({ tooth, angle }) =>
    angle.state === "given"
      ? [`${tooth} ${signed(angle.reading.value, 1)}° ${plusMinus(angle.reading.expandedUncertainty)}`]
      : [],
  );
  return texts.length === 0 ? [] : [plain(listed(texts))];
}
