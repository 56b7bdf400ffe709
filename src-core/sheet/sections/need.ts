import type { Crossbite } from "../../case/timepoint";
import type { NeedEnd, NeedMethod, NeedReading } from "../../readings/need-document";
import type { Given, Quantity } from "../../readings/readings-document";
import { withinError } from "../../readings/uncertainty";
import { fixed, listed, plusMinus, sentenceCase, signed, signedMillimetres } from "../format";
import { type Block, type Cell, type Column, plain, quiet, type Run, type Section, strong, textCell } from "../sheet";
import type { SheetContext } from "./context";
import { BITE_WORDS } from "./visits";

const COLUMNS: readonly Column[] = [
  { header: "upper to lower", width: "rest", align: "start" },
  { header: "scans", width: 62, align: "start" },
  { header: "upper", width: 34, align: "end" },
  { header: "", width: 28, align: "end" },
  { header: "lower", width: 40, align: "end" },
  { header: "", width: 28, align: "end" },
  { header: "lower − upper", width: 66, align: "end" },
  { header: "", width: 28, align: "end" },
  { header: "", width: 8, align: "end" },
];

/** Need to the lower arch by named points, each method and each date by itself; the bite as entered. */
export function needSection({ readings: { need, span } }: SheetContext): Section {
  if (need === null) return { id: "need", blocks: [] };
  const blocks: Block[] = [
    {
      kind: "heading",
      text: "Need to the lower arch",
      note: "mm, at the present relation of the jaws front to back; positive: the upper arch is the narrower one",
    },
  ];
  if (need.methods.length > 0) {
    blocks.push(
      { kind: "table", columns: COLUMNS, rows: need.methods.flatMap(rowsOf) },
      ...plannedBlocks(need),
      ...disagreementBlocks(need, [span.from, span.to]),
    );
  }
  if (need.crossbite.length > 0) blocks.push(biteBlock(need, [span.from, span.to]));
  if (need.methods.length > 0) {
    const bases = need.methods.map(({ upperPoints, basis }) => `${sentenceCase(upperPoints)}: ${basis}.`).join(" ");
    blocks.push({
      kind: "paragraph",
      size: "small",
      runs: [
        quiet(
          `Each method by itself, from upper and lower scans of the same date, for the lower arch widens too. ${bases} * within measurement error.`,
        ),
      ],
    });
  }
  return { id: "need", keepTogether: true, blocks };
}

function rowsOf(method: NeedMethod): { cells: Cell[] }[] {
  const words: Run[] = [plain(method.upperPoints), quiet(` to ${method.lowerPoints}`)];
  return [method.earlier, method.later].map((end, i) => ({
    cells: [textCell(i === 0 ? words : []), ...cellsOf(end)],
  }));
}

function cellsOf({ timepoint, upper, lower, need, withinMeasurementError }: NeedEnd): Cell[] {
  const name = textCell([quiet(timepoint)]);
  if (need.state === "withheld") return [name, textCell([{ text: need.reason.text, tone: "asks" }], 7)];
  const pair = (given: Given<Quantity>): Cell[] =>
    given.state === "withheld"
      ? [textCell([]), textCell([])]
      : [textCell(fixed(given.reading.value, 1)), textCell([quiet(plusMinus(given.reading.expandedUncertainty))])];
  return [
    name,
    ...pair(upper),
    ...pair(lower),
    textCell([strong(signed(need.reading.value, 1))]),
    textCell([quiet(plusMinus(need.reading.expandedUncertainty))]),
    textCell([quiet(withinMeasurementError === true ? "*" : "")]),
  ];
}

const sized = ({ value, expandedUncertainty }: Quantity): string =>
  `${signedMillimetres(value)} ${plusMinus(expandedUncertainty)}`;

/** What follows from the over-correction and the loss that were entered. */
function plannedBlocks({ methods, overCorrection, expectedLossPercent }: NeedReading): Block[] {
  const loss = `${fixed(expectedLossPercent ?? 0, 0)}\u00a0%`;
  const said = methods.flatMap(({ upperPoints, wanted, wantedAfterLoss, needAfterLoss, later }) => {
    const at = `By the ${upperPoints}`;
    return [
      ...(wanted === null
        ? []
        : [
            `${at}: need with the over-correction of ${fixed(overCorrection ?? 0, 1)}\u00a0mm entered ${sized(wanted)}${
              wantedAfterLoss === null
                ? ""
                : `, of which ${sized(wantedAfterLoss)} would remain after the loss of ${loss} entered`
            }.`,
          ]),
      ...(needAfterLoss === null
        ? []
        : [
            `${at}: once ${loss} of the measured widening were lost, the need on the ${later.timepoint} scan would be ${sized(needAfterLoss)}.`,
          ]),
    ];
  });
  return said.length === 0 ? [] : [{ kind: "paragraph", size: "small", runs: said.map((text) => plain(`${text} `)) }];
}

function disagreementBlocks({ disagreement }: NeedReading, names: readonly [string, string]): Block[] {
  if (disagreement === null) return [];
  const told = [disagreement.earlier, disagreement.later].flatMap((given, i) =>
    given.state === "withheld"
      ? []
      : [`${names[i]} ${sized(given.reading)}${withinError(given.reading) ? " (within measurement error)" : ""}`],
  );
  if (told.length === 0) return [];
  return [
    {
      kind: "paragraph",
      size: "small",
      runs: [
        plain(`Need at the cusps less need at the gingival level: ${listed(told)}. `),
        quiet(
          "Crowns that lean to make up for jaws of different width would show as such a difference (dental compensation); so would arches whose levels differ by nature, for no norm is used. It is no indication for a kind of treatment.",
        ),
      ],
    },
  ];
}

/** How each tooth was entered to bite, both dates beside each other. */
function biteBlock({ crossbite }: NeedReading, [from, to]: readonly [string, string]): Block {
  const words = (relation: Crossbite | null) => (relation === null ? "not entered" : BITE_WORDS[relation]);
  return {
    kind: "table",
    dense: true,
    columns: [
      { header: "bite as entered", width: 84, align: "start" },
      { header: from, width: 84, align: "start" },
      { header: to, width: "rest", align: "start" },
    ],
    rows: crossbite.map(({ tooth, earlier, later }) => ({
      cells: [textCell([strong(String(tooth))]), textCell(words(earlier)), textCell(words(later))],
    })),
  };
}
