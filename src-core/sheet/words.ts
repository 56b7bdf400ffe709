import { RETENTION_WORDS, VERDICT_WORDS } from "../readings/headline";
import type { HalvesReading, PatternReading, Readings, Verdict, WidthLevel } from "../readings/readings-document";

/** Words of the trade for what the readings name by key. */

const LEVELS: Readonly<Record<WidthLevel, string>> = {
  "cusp-tip": "cusp tips",
  "mesiopalatal-cusp-tip": "mesiopalatal cusps",
  "central-fossa": "central fossae",
  "palatal-gingival": "palatal gingival",
};

/** The level of a width: 'cusp tips', 'palatal gingival'. */
export const levelWords = (level: WidthLevel | PatternReading["level"]): string => LEVELS[level];

/** What the two halves are: of the palate, or groups of crowns. */
export const halvesWords = (of: HalvesReading["of"]): string =>
  of === "palate" ? "palatal halves" : "groups of crowns";

/** What a crown's own motion is seen against: its half of the palate, or the group of its side's crowns. */
export const againstWords = ({ registrations }: Pick<Readings, "registrations">): "half" | "group" =>
  registrations.some((r) => r.state === "given" && r.reading.region.endsWith("-crowns")) ? "group" : "half";

/** The verdict in words, for an expansion or for the time in retention. */
export const verdictWords = (verdict: Verdict, span: "expansion" | "retention"): string =>
  (span === "retention" ? RETENTION_WORDS : VERDICT_WORDS)[verdict];
