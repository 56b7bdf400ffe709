import type { Given } from "../../readings/readings-document";
import type { ScrewLength, ScrewReading } from "../../readings/screw-document";
import { withinError } from "../../readings/uncertainty";
import { millimetres, plusMinus, signedMillimetres } from "../format";
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

/** The lengths of both ends of a fan screw: '7.0 mm front, 3.0 mm back'. */
export const endsText = ({ front, back }: ScrewLength, decimals = 1): string =>
  `${millimetres(front, decimals)} front, ${millimetres(back, decimals)} back`;

/** A length of the screw, of both ends where they differ. */
export const screwText = (length: ScrewLength, fan: boolean): string =>
  fan ? endsText(length) : millimetres(length.front);

const COLUMNS: readonly Column[] = [
  { header: "at", width: "rest", align: "start" },
  { header: "aimed at", width: 62, align: "end" },
  { header: "delivered by the screw", width: 132, align: "end" },
  { header: "measured", width: 62, align: "end" },
  { header: "", width: 34, align: "end" },
  { header: "", width: 8, align: "end" },
];

/** What was aimed at, delivered by the screw and measured, beside each other; and whether the halves moved apart. */
export function screwSection({ readings: { screw } }: SheetContext): Section {
  if (screw === null) return { id: "screw", blocks: [] };
  const blocks: Block[] = [
    { kind: "heading", text: "Screw", note: "aimed at, delivered, measured: three values, none stands for another" },
    { kind: "facts", facts: factsOf(screw) },
  ];
  if (screw.places.length > 0) {
    blocks.push({
      kind: "table",
      columns: COLUMNS,
      rows: screw.places.map((place) => ({ cells: cellsOf(place, screw) })),
    });
  }
  if (screw.separation !== null) {
    const { verdict, sentence } = screw.separation;
    blocks.push({
      kind: "paragraph",
      size: "normal",
      runs: [verdict === "cannot-be-told" ? { text: sentence, tone: "asks" } : plain(sentence)],
    });
  }
  const withheld = [screw.delivered, screw.travelLeft].flatMap((g) => (g.state === "withheld" ? [g.reason.text] : []));
  blocks.push({
    kind: "paragraph",
    size: "small",
    runs: [
      ...[...new Set(withheld)].map((text) => ({ text: `Withheld: ${text}. `, tone: "asks" as const })),
      ...screw.remarks.map((text) => plain(`${text} `)),
      quiet(
        "Delivered is opening less closing turns in the mouth, times the millimetres per turn as entered. Turns made before fitting opened nothing in the patient. * within measurement error.",
      ),
    ],
  });
  return { id: "screw", keepTogether: true, blocks };
}

function factsOf(screw: ScrewReading): FactsBlock["facts"] {
  const { phases, netTurns, cumulatedTurns, fan, delivered, openedBeforeFitting, opening, travelLeft } = screw;
  const fact = (label: string, given: Given<ScrewLength>): FactsBlock["facts"] =>
    given.state === "given" ? [{ label, value: screwText(given.reading, fan) }] : [];
  return [
    ...(phases.length === 0
      ? []
      : [
          {
            label: "turns in the mouth",
            value: String(netTurns),
            ...(cumulatedTurns === netTurns ? {} : { remark: `net of ${cumulatedTurns} made` }),
          },
        ]),
    ...fact("delivered", delivered),
    ...fact("opened before fitting", openedBeforeFitting),
    ...fact("screw open by", opening),
    ...(travelLeft.state === "given" ? [{ label: "travel left", value: millimetres(travelLeft.reading) }] : []),
  ];
}

function cellsOf(place: ScrewReading["places"][number], { delivered, fan }: ScrewReading): Cell[] {
  const { at, target, end, measured } = place;
  const turned =
    delivered.state === "withheld"
      ? [quiet("withheld")]
      : [
          plain(
            fan && end !== null ? `${millimetres(delivered.reading[end])} ${end}` : screwText(delivered.reading, fan),
          ),
        ];
  const cells = [textCell(at), textCell(target === null ? [] : [plain(millimetres(target))]), textCell(turned)];
  if (measured.state === "withheld") {
    return [...cells, textCell([{ text: "withheld", tone: "asks" }], 3)];
  }
  const { value, expandedUncertainty } = measured.reading;
  return [
    ...cells,
    textCell([strong(signedMillimetres(value))]),
    textCell([quiet(plusMinus(expandedUncertainty))]),
    textCell([quiet(withinError(measured.reading) ? "*" : "")]),
  ];
}
