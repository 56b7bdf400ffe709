import { RETENTION_WORDS, VERDICT_WORDS } from "../readings/headline";
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

/** The verdict in words, for an expansion or for the time in retention. */
export const verdictWords = (verdict: Verdict, span: "expansion" | "retention"): string =>
  (span === "retention" ? RETENTION_WORDS : VERDICT_WORDS)[verdict];
