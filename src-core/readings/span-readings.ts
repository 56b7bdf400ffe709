import { becauseOf, headlineOf, NOTHING_COMPARED } from "./headline";
import { readPattern } from "./pattern";
import type { Given, PatternReading, Readings, WidthReading } from "./readings-document";
import type { Assumptions } from "./uncertainty";
import { askedWidths, type PointSet, readWidth, type Stations, stationsFrom } from "./width";

/** What the landmarks of two scans give without any superimposition. */
export interface SpanReadings {
  readonly widths: WidthReading[];
  readonly patterns: Given<PatternReading>[];
  readonly headline: Readings["headline"];
  readonly because: string;
  /** Readings asked for by the landmarks that stand, and those made. */
  readonly asked: number;
  readonly made: number;
}

/**
 * Every width and the pattern per level between two scans.
 * @param first the earlier scan's points: stations along the arch come from it
 * @param second the later scan's points
 * @param beside where the earlier scan's points lie on the later one, of those placed by hand on both
 * @param words expansion, or retention where the words are loss and gain
 */
export function readSpan(
  first: PointSet,
  second: PointSet,
  assumptions: Assumptions,
  words: Readings["span"]["words"],
  beside: PointSet | null = null,
): SpanReadings {
  const stations: Stations = stationsFrom(first);
  const asked = askedWidths([first, second]);
  const widths = asked.map(({ definition }): WidthReading => {
    const width = readWidth(first, second, definition, stations, assumptions);
    const other = beside === null ? null : readWidth(first, beside, definition, stations, assumptions).change;
    return width.change.state === "given" && other?.state === "given"
      ? { ...width, changeIfCarried: other.reading }
      : width;
  });
  const complete = asked.map(({ complete }) => complete);
  const levels = (["cusp-tip", "palatal-gingival"] as const).filter((level) => widths.some((w) => w.level === level));
  const patterns = levels.map((level): Given<PatternReading> => {
    if (second.notComparable !== undefined) return { state: "withheld", reason: second.notComparable };
    return readPattern(level, widths, stations, assumptions);
  });
  // A pattern is asked for where two pairs of its level are.
  const askedPattern = levels.map((level) => widths.filter((w, i) => w.level === level && complete[i]).length >= 2);
  return {
    widths,
    patterns,
    headline: second.notComparable === undefined ? headlineOf(widths, patterns, words) : NOTHING_COMPARED,
    because: becauseOf(patterns, words),
    asked: complete.filter(Boolean).length + askedPattern.filter(Boolean).length,
    made:
      widths.filter((width, i) => complete[i] && width.change.state === "given").length +
      patterns.filter((pattern, i) => askedPattern[i] && pattern.state === "given").length,
  };
}
