import type { PatternReading, Verdict, WidthLevel } from "../readings/readings-document";

/** Words of the trade for what the readings name by key. */

const LEVELS: Readonly<Record<WidthLevel, string>> = {
  "cusp-tip": "cusp tips",
  "mesiopalatal-cusp-tip": "mesiopalatal cusps",
  "central-fossa": "central fossae",
  "palatal-gingival": "palatal gingival",
};

/** The level of a width: 'cusp tips', 'palatal gingival'. */
export const levelWords = (level: WidthLevel | PatternReading["level"]): string => LEVELS[level];

const EXPANSION: Readonly<Record<Verdict, string>> = {
  "no-change": "no change",
  narrowed: "narrowed",
  "fan-front": "fan-shaped, wider in front",
  "fan-back": "fan-shaped, wider at the back",
  parallel: "parallel",
  irregular: "irregular",
  undecided: "undecided",
};

/** After the treatment a width is lost or gained; 'fan' would speak of an opening that did not happen then. */
const RETENTION: Readonly<Record<Verdict, string>> = {
  "no-change": "no change",
  narrowed: "loss of width",
  "fan-front": "more gain or less loss in front",
  "fan-back": "more gain or less loss at the back",
  parallel: "the same change in front and at the back",
  irregular: "irregular",
  undecided: "undecided",
};

/** The verdict in words, for an expansion or for the time in retention. */
export const verdictWords = (verdict: Verdict, span: "expansion" | "retention"): string =>
  (span === "retention" ? RETENTION : EXPANSION)[verdict];
