import { fixed, pairWords, signed } from "./numbers-in-words";
import type {
  Given,
  HalvesReading,
  PatternReading,
  Quantity,
  Readings,
  Verdict,
  WidthReading,
} from "./readings-document";

/** The verdict in the sheet's words. */
export const VERDICT_WORDS: Readonly<Record<Verdict, string>> = {
  "no-change": "no change",
  narrowed: "narrower",
  "fan-front": "fan-shaped, wider in front",
  "fan-back": "fan-shaped, wider at the back",
  parallel: "parallel",
  irregular: "irregular",
  undecided: "undecided",
};

/** The same for a span from after to retention, where the words are loss and gain, never fan. */
export const RETENTION_WORDS: Readonly<Record<Verdict, string>> = {
  "no-change": "no change",
  narrowed: "loss",
  "fan-front": "gain, more in front",
  "fan-back": "gain, more at the back",
  parallel: "alike in front and at the back",
  irregular: "irregular",
  undecided: "undecided",
};

type Headline = Readings["headline"];

const plain = (text: string) => ({ text, strong: false });
const strong = (text: string) => ({ text, strong: true });

const placeWords = (pair: string): string => {
  switch (pair) {
    case "3-3":
      return "at the canines";
    case "6-6":
      return "at the first molars";
    default:
      return `at ${pairWords(pair)}`;
  }
};

interface End {
  readonly pair: string;
  readonly change: Quantity;
  readonly within: boolean;
}

/** Canines and first molars at cusp level, else the foremost and the hindmost pair that can be told. */
function endsOf(widths: readonly WidthReading[]): End[] {
  const told: End[] = [];
  for (const width of widths) {
    if (width.level !== "cusp-tip" || width.change.state !== "given") continue;
    told.push({ pair: width.pair, change: width.change.reading, within: width.withinMeasurementError === true });
  }
  const front = told.find((end) => end.pair === "3-3") ?? told[0];
  const back = told.find((end) => end.pair === "6-6") ?? told.at(-1);
  if (front === undefined || back === undefined) return [];
  return front === back ? [front] : [front, back];
}

/** 'Wider by 5.2 mm at the canines and 2.8 mm at the first molars', or what else the two changes say. */
function changes(ends: readonly End[], retention: boolean): Headline {
  if (ends.every((end) => end.within)) {
    const where = ends.map((end) => placeWords(end.pair)).join(" and ");
    return [strong("No change beyond measurement error"), plain(` ${where}`)];
  }
  const same = (sign: 1 | -1) => ends.every((end) => !end.within && end.change.value * sign > 0);
  const joined = (word: (end: End) => string): Headline =>
    ends.flatMap((end, i) => [...(i === 0 ? [] : [plain(" and ")]), strong(`${word(end)} ${placeWords(end.pair)}`)]);
  const size = (end: End) => `${fixed(Math.abs(end.change.value), 1)} mm`;
  if (same(1)) return [plain(retention ? "Gained " : "Wider by "), ...joined(size)];
  if (same(-1)) return [plain(retention ? "Lost " : "Narrower by "), ...joined(size)];
  const sized = (end: End) => (end.within ? `${size(end)} (within measurement error)` : size(end));
  if (retention) {
    const word = (end: End) => (end.change.value < 0 ? "lost" : "gained");
    const first = word(ends[0]!);
    const named = (end: End) => (word(end) === first ? "" : `${word(end)} `);
    return [plain(`${capital(first)} `), ...joined((end) => `${named(end)}${sized(end)}`)];
  }
  return [
    plain("Changed by "),
    ...joined((end) =>
      end.within ? `${signed(end.change.value, 1)} mm (within measurement error)` : `${signed(end.change.value, 1)} mm`,
    ),
  ];
}

/** @param still whether no change that is told exceeds its error: then nothing 'changed parallel' */
function verdictPart(verdict: Verdict, still: boolean): Headline {
  if (still && verdict === "parallel") return [plain(": front and back are "), strong("alike.")];
  switch (verdict) {
    case "fan-front":
    case "fan-back":
      return [plain(": the arch opened "), strong(`${VERDICT_WORDS[verdict]}.`)];
    case "parallel":
      return [plain(": the arch changed "), strong("parallel.")];
    case "no-change":
      return [plain(": the arch shows "), strong("no change.")];
    case "narrowed":
      return [plain(": the arch became "), strong("narrower.")];
    case "irregular":
      return [plain(": the pairs follow "), strong("no single line.")];
    case "undecided":
      return [plain(": parallel or fan-shaped is "), strong("undecided.")];
  }
}

/** The sentence at the top of the sheet where the two scans do not belong together. */
export const NOTHING_COMPARED: Headline = [
  strong("The two scans do not belong together"),
  plain(": no change is read."),
];

/** The sentence at the top of the sheet, from the cusp level. */
export function headlineOf(
  widths: readonly WidthReading[],
  patterns: readonly Given<PatternReading>[],
  words: Readings["span"]["words"],
): Headline {
  const ends = endsOf(widths);
  if (ends.length === 0) return [plain("No width can be read yet.")];
  const retention = words === "retention";
  const start = changes(ends, retention);
  const pattern = cuspPattern(patterns);
  if (retention) return [...start, plain(" since the end of turning.")];
  if (pattern === null) return [...start, plain(": the pattern needs a second pair of teeth.")];
  const still = ends.every((end) => end.within);
  return [...start, ...verdictPart(pattern.verdict, still)];
}

const cuspPattern = (patterns: readonly Given<PatternReading>[]): PatternReading | null => level(patterns, "cusp-tip");

function level(patterns: readonly Given<PatternReading>[], name: PatternReading["level"]): PatternReading | null {
  for (const pattern of patterns) {
    if (pattern.state === "given" && pattern.reading.level === name) return pattern.reading;
  }
  return null;
}

/** The quiet sentence under the headline: why, and whether the gingival level agrees. */
export function becauseOf(patterns: readonly Given<PatternReading>[], words: Readings["span"]["words"]): string {
  const cusps = level(patterns, "cusp-tip");
  if (cusps === null) {
    const reason = patterns.find((pattern) => pattern.state === "withheld");
    return reason?.state === "withheld" ? `${capital(reason.reason.text)}.` : "";
  }
  const gingival = level(patterns, "palatal-gingival");
  const agreement = gingival === null ? "" : ` ${agreementOf(cusps.verdict, gingival.verdict, words)}`;
  return `${words === "retention" ? "" : cusps.because}${agreement}`.trim();
}

function agreementOf(cusps: Verdict, gingival: Verdict, words: Readings["span"]["words"]): string {
  const names = words === "retention" ? RETENTION_WORDS : VERDICT_WORDS;
  if (cusps === gingival) {
    return words === "retention"
      ? `The palatal gingival level says the same (${names[gingival]}).`
      : `The palatal gingival level shows the same pattern.`;
  }
  if (gingival === "undecided") return "At the palatal gingival level the pattern is undecided.";
  if (cusps === "undecided") return `The palatal gingival level is decided: ${names[gingival]}.`;
  return `At the cusps ${names[cusps]}, at the palatal gingival level ${names[gingival]}: the difference is tipping of the crowns.`;
}

/** Whether the halves of the palate agree with the cusps; empty where either is not given, and of groups of crowns. */
export function halvesAgreement(
  patterns: readonly Given<PatternReading>[],
  halves: Given<HalvesReading>,
  words: Readings["span"]["words"],
): string {
  const cusps = level(patterns, "cusp-tip");
  if (cusps === null || halves.state === "withheld" || halves.reading.of === "crowns") return "";
  const { verdict } = halves.reading;
  const retention = words === "retention";
  const names = retention ? RETENTION_WORDS : VERDICT_WORDS;
  if (cusps.verdict === verdict) {
    return retention
      ? `The halves of the palate say the same (${names[verdict]}).`
      : "The halves of the palate show the same pattern.";
  }
  if (verdict === "undecided") return "Between the halves of the palate the pattern is undecided.";
  if (cusps.verdict === "undecided") return `Between the halves of the palate it is decided: ${names[verdict]}.`;
  return `Between the halves of the palate ${names[verdict]}: the difference to the cusps is movement of the teeth against their halves.`;
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
