import type { CrownMotion, CrownReading, Given, Quantity, Readings } from "../../readings/readings-document";
import { withinError } from "../../readings/uncertainty";
import { listed, pairWords, plusMinus, signed } from "../format";
import { type Block, type Cell, type Column, plain, quiet, type Run, type Section, strong, textCell } from "../sheet";
import { againstWords } from "../words";
import type { SheetContext } from "./context";
import { tippingBlocks } from "./tipping";

const COLUMNS: readonly Column[] = [
  { header: "tooth", width: 30, align: "start" },
  { header: "tipping to buccal, °", width: 74, align: "end" },
  { header: "to mesial, °", width: 66, align: "end" },
  { header: "turning, °", width: 66, align: "end" },
  { header: "to buccal, mm", width: 66, align: "end" },
  { header: "to mesial, mm", width: 66, align: "end" },
  { header: "to occlusal, mm", width: 66, align: "end" },
  { header: "palatal cusp", width: "rest", align: "end" },
];

/** Each crown against its half of the palate (without one: the crowns of its side): tipping, turning, shift; the palatal cusp; the molars' angle. */
export function crownsSection({ readings }: SheetContext): Section {
  const { crowns } = readings;
  const against = againstWords(readings);
  const title = `Teeth against their ${against}`;
  if (crowns.length === 0) {
    return {
      id: "crowns",
      blocks: [
        { kind: "heading", text: title, note: "" },
        { kind: "paragraph", runs: [quiet("No crown was registered.")], size: "normal" },
        ...tippingBlocks(readings),
      ],
    };
  }
  return {
    id: "crowns",
    blocks: [
      {
        kind: "heading",
        text: title,
        note: "each crown registered to itself; ± is the 95 % uncertainty; * within measurement error",
      },
      { kind: "table", dense: true, columns: COLUMNS, rows: crowns.map((crown) => ({ cells: cellsOf(crown) })) },
      ...(against === "half" ? [] : [OF_GROUPS]),
      { kind: "paragraph", size: "small", runs: pairRuns(readings.crownPairs) },
      archBlock(crowns, against),
      ...tippingBlocks(readings),
    ],
  };
}

/** What is to be known where the scans show no palate. */
const OF_GROUPS: Block = {
  kind: "paragraph",
  size: "small",
  runs: [
    plain("The scans show no palate, so each crown is seen against all crowns of its side together: "),
    quiet("what these did alike, tipping included, does not appear here."),
  ],
};

const value = (q: Quantity): Run[] => [
  plain(signed(q.value, 1)),
  quiet(` ${plusMinus(q.expandedUncertainty)}${withinError(q) ? " *" : ""}`),
];

function cellsOf({ tooth, motion }: Readings["crowns"][number]): Cell[] {
  const name = textCell([strong(String(tooth))]);
  const asks = (text: string): Cell => textCell([{ text, tone: "asks" }], COLUMNS.length - 1);
  if (motion.state === "withheld") return [name, asks(motion.reason.text)];
  const { againstHalf, palatalCuspDrop: drop } = motion.reading;
  if (againstHalf.state === "withheld") return [name, asks(againstHalf.reason.text)];
  const m = againstHalf.reading;
  return [
    name,
    ...[m.buccalTipping, m.mesialTipping, m.turning, m.buccalShift, m.mesialShift, m.occlusalShift].map((q) =>
      textCell(value(q)),
    ),
    textCell(drop === null || drop.state === "withheld" ? [] : value(drop.reading.againstHalf)),
  ];
}

function pairRuns(pairs: Readings["crownPairs"]): Run[] {
  const angles = pairs.map(
    ({ pair, angle }) =>
      `${pairWords(pair)} ${signed(angle.value, 1)}° ${plusMinus(angle.expandedUncertainty)}${withinError(angle) ? " *" : ""}`,
  );
  const between =
    angles.length === 0
      ? []
      : [plain(`Angle between the molars, positive with the crowns to the cheek: ${listed(angles)}. `)];
  return [
    ...between,
    quiet(
      "Directions are those of the crown on the earlier scan. Turning is about the long axis, positive with the mesial side to the cheek. Palatal cusp: movement of the (mesio)palatal cusp to occlusal; it may open the bite. Change of the crown’s inclination, not movement of its root.",
    ),
  ];
}

/** The same crowns against the arch, in one line each kind. */
function archBlock(crowns: Readings["crowns"], against: "half" | "group"): Block {
  const tipping = crowns.flatMap(({ tooth, motion }) => {
    const arch: Given<CrownMotion> | null = motion.state === "given" ? archOf(motion.reading) : null;
    return arch?.state === "given" ? [`${tooth} ${signed(arch.reading.buccalTipping.value, 1)}°`] : [];
  });
  return {
    kind: "paragraph",
    size: "small",
    runs:
      tipping.length === 0
        ? [
            quiet(
              `Against the arch: withheld, the ${against === "half" ? "palate" : "crowns"} could not be registered as a whole.`,
            ),
          ]
        : [
            plain(`Tipping to buccal against the arch: ${listed(tipping)}. `),
            quiet(
              `The arch is laid over by ${against === "half" ? "the whole palate" : "all crowns"}, which shares the opening about evenly between the sides.`,
            ),
          ],
  };
}

const archOf = (reading: CrownReading): Given<CrownMotion> => reading.againstArch;
