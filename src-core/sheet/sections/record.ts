import { lowerScanName } from "../../case/timepoint";
import { distance } from "../../geometry/vector";
import { grouped } from "../../grouped";
import type { UsedLandmark } from "../../readings/readings-document";
import { dateText, listed, millimetres, momentText, sentenceCase, shortHash } from "../format";
import { type Block, plain, quiet, type Section, textCell } from "../sheet";
import { comparedTimepoints, type SheetContext } from "./context";
import { assumedBlocks } from "./method";

/** What the sheet was made from: scans by timepoint and hash, points and how they came about, software and time, and lines to sign on. */
export function recordSection(context: SheetContext): Section {
  const { readings } = context;
  const { from, to } = comparedTimepoints(context);
  const dateOf = (name: string) =>
    [from, to].find((t) => t !== null && (t.name === name || lowerScanName(t.name) === name))?.date ?? null;
  const scannerOf = (name: string) =>
    context.document.timepoints.find((t) => t.name === name)?.details.scanner || "not stated";
  const blocks: Block[] = [
    { kind: "heading", text: "Scans", note: "named by timepoint and hash, never by file" },
    {
      kind: "table",
      columns: [
        { header: "timepoint", width: 80, align: "start" },
        { header: "date", width: 64, align: "start" },
        { header: "SHA-256, first 12 digits", width: 104, align: "start" },
        { header: "format", width: 110, align: "start" },
        { header: "scanner", width: 66, align: "start" },
        { header: "triangles", width: 50, align: "end" },
        { header: "unit", width: "rest", align: "end" },
      ],
      rows: readings.scans.map((scan) => {
        const date = dateOf(scan.timepoint);
        return {
          cells: [
            textCell(scan.timepoint),
            textCell(date === null ? "not stated" : dateText(date)),
            textCell(shortHash(scan.sha256)),
            textCell(formatWords(scan.format)),
            textCell(scannerOf(scan.timepoint)),
            textCell(grouped(scan.triangles)),
            textCell(scan.unit),
          ],
        };
      }),
    },
    { kind: "side-by-side", left: assumedBlocks(context), right: pointsBlocks(context) },
    ...signatureBlocks(context),
  ];
  return { id: "record", keepTogether: true, blocks };
}

/** 'ply-binary-little-endian' as 'PLY, binary little endian'. */
function formatWords(format: string): string {
  const [name = format, ...kind] = format.split("-");
  return [name.toUpperCase(), kind.join(" ").replace("ascii", "ASCII")].filter((part) => part !== "").join(", ");
}

function pointsBlocks({ readings, issuedAt }: SheetContext): Block[] {
  return [
    { kind: "heading", text: "Points and origin", note: "" },
    ...readings.scans.map(
      (scan): Block => ({
        kind: "paragraph",
        size: "small",
        runs: [
          plain(`${sentenceCase(scan.timepoint)}: `),
          quiet(landmarkSentence(readings.landmarks.filter((l) => l.timepoint === scan.timepoint))),
        ],
      }),
    ),
    {
      kind: "paragraph",
      size: "small",
      runs: [
        quiet(
          `Made with ${readings.software.name} ${readings.software.version}; issued ${momentText(issuedAt)}, clock of this PC. ` +
            "Intended use: measures and documents; does not diagnose. Not a certified medical device.",
        ),
      ],
    },
  ];
}

const HOW_WORDS: Readonly<Record<Exclude<UsedLandmark["how"], "carried">, string>> = {
  "as-placed": "used as placed",
  "snapped-to-highest": "moved to the highest point of the cusp",
  "snapped-to-deepest": "moved to the deepest point of the fossa",
  "snapped-to-margin": "moved to the gingival margin",
  "dropped-to-surface": "dropped on the surface",
};

/** '18 points placed by hand: 10 moved to the highest point of the cusp, 8 used as placed; the farthest by 0.4 mm.' */
function landmarkSentence(landmarks: readonly UsedLandmark[]): string {
  if (landmarks.length === 0) return "no points.";
  const carried = landmarks.filter((l) => l.how === "carried").length;
  const placed = landmarks.length - carried;
  const points = (n: number) => (n === 1 ? "1 point" : `${n} points`);
  const over = carried === 0 ? "" : `${points(carried)} carried over from the other scan`;
  if (placed === 0) return `${over}.`;
  const groups = (Object.keys(HOW_WORDS) as (keyof typeof HOW_WORDS)[]).flatMap((how) => {
    const n = landmarks.filter((l) => l.how === how).length;
    return n === 0 ? [] : [`${n} ${HOW_WORDS[how]}`];
  });
  const farthest = Math.max(...landmarks.map((l) => distance(l.placed, l.used)));
  const moved = farthest > 0 ? `; the farthest moved by ${millimetres(farthest, 2)}` : "";
  return `${points(placed)} placed by hand: ${listed(groups)}${moved}${over === "" ? "" : `; ${over}`}.`;
}

/** Lines to sign on, and what a typed name is worth. */
const signatureBlocks = ({ document, issuedAt }: SheetContext): Block[] => [
  {
    kind: "signature",
    fields: [
      { label: "examiner", value: document.identity.examiner },
      { label: "issued, clock of this PC", value: momentText(issuedAt) },
      { label: "signature", value: "" },
    ],
  },
  {
    kind: "paragraph",
    size: "small",
    runs: [quiet("A name typed here is a typed signature, not a qualified electronic signature.")],
  },
];
