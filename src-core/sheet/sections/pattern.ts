import type { Given, Interval, PatternReading } from "../../readings/readings-document";
import { degrees, fixed, interval, millimetres, pairWords, sentenceCase, signed, signedMillimetres } from "../format";
import { type Block, type Cell, plain, quiet, type Run, type Section, strong, textCell } from "../sheet";
import { levelWords, verdictWords } from "../words";
import type { SheetContext } from "./context";

/** The pattern level by level: verdict, slope, opening angle of the teeth, front : back, hinge, each with its interval. */
export function patternSection({ readings }: SheetContext): Section {
  const given = readings.patterns.flatMap((p) => (p.state === "given" ? [p.reading] : []));
  const withheld = readings.patterns.flatMap((p) => (p.state === "withheld" ? [p.reason.text] : []));
  const blocks: Block[] = [
    { kind: "heading", text: "Pattern of the widening", note: "value, 95 % interval; each level has its own verdict" },
  ];
  if (given.length > 0) {
    blocks.push({
      kind: "table",
      columns: [
        { header: "", width: 150, align: "start" },
        ...given.map((p, i) => ({
          header: `at the ${levelWords(p.level)}`,
          width: i === given.length - 1 ? ("rest" as const) : 175,
          align: "start" as const,
        })),
      ],
      rows: ROWS.map(({ name, cell }) => ({
        cells: [textCell([quiet(name)]), ...given.map((p): Cell => textCell(cell(p, readings.span.words)))],
      })),
    });
    for (const p of given) {
      blocks.push({
        kind: "paragraph",
        runs: [strong(`${sentenceCase(levelWords(p.level))}: `), quiet(p.because)],
        size: "small",
      });
    }
  }
  for (const text of withheld) {
    blocks.push({ kind: "paragraph", runs: [{ text: `Withheld: ${text}.`, tone: "asks" }], size: "normal" });
  }
  if (readings.patterns.length === 0) {
    blocks.push({ kind: "paragraph", runs: [quiet("No pattern was asked for.")], size: "normal" });
  }
  return { id: "pattern", blocks, keepTogether: true };
}

type Words = "expansion" | "retention";

const withInterval = (value: string, i: Interval, decimals = 1): Run[] => [
  plain(value),
  quiet(`\u2002${interval(i.low, i.high, decimals)}`),
];

const withheldOr = <T>(given: Given<T>, show: (reading: T) => Run[]): Run[] =>
  given.state === "given" ? show(given.reading) : [{ text: `withheld: ${given.reason.text}`, tone: "asks" }];

const ROWS: readonly { name: string; cell: (p: PatternReading, words: Words) => Run[] }[] = [
  { name: "verdict", cell: (p, words) => [strong(verdictWords(p.verdict, words))] },
  {
    name: "pairs it rests on",
    cell: (p) => [plain(p.pairs.map((pair) => pairWords(pair.pair)).join(", "))],
  },
  {
    name: "fitted change at the canines",
    cell: (p) => withInterval(signedMillimetres(p.atCanines.value), p.atCanines),
  },
  {
    name: "fitted change at the first molars",
    cell: (p) => withInterval(signedMillimetres(p.atMolars.value), p.atMolars),
  },
  {
    name: "difference D, front less back",
    cell: (p) => withInterval(signedMillimetres(p.difference.value), p.difference),
  },
  {
    name: "slope towards the back",
    cell: (p) => withInterval(`${signed(p.slopePer10mm.value, 1)}\u00a0mm per 10\u00a0mm`, p.slopePer10mm),
  },
  {
    name: "opening angle of the teeth",
    cell: (p) => withInterval(degrees(p.openingAngleOfTeeth.value), p.openingAngleOfTeeth),
  },
  {
    name: "front : back",
    cell: (p) =>
      withheldOr(p.frontToBack, ({ of, ratio }) => [
        ...withInterval(fixed(ratio.value, 2), ratio, 2),
        quiet(`\u2002(${of.replaceAll("-", "\u2013")}, Fieller)`),
      ]),
  },
  {
    name: "hinge of the fitted line behind the canines, not a centre in the bone",
    cell: (p) => withheldOr(p.hinge, (hinge) => withInterval(millimetres(hinge.value, 0), hinge, 0)),
  },
  {
    name: "fit of the line",
    cell: (p) => [
      plain(
        p.degreesOfFreedom > 0
          ? `χ² ${fixed(p.chiSquare, 2)} on ${p.degreesOfFreedom}`
          : "two pairs: no freedom left to test the line",
      ),
      quiet(p.widened ? "\u2002above its 95 % point: the band is widened" : ""),
    ],
  },
];
