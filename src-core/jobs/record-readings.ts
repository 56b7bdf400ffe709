import type { CaseDocument } from "../case/case-document";
import { readGrowth } from "../readings/growth";
import { needsMade, readNeed } from "../readings/need";
import type { Readings, Warning } from "../readings/readings-document";
import { readRetention } from "../readings/retention";
import { readScrew } from "../readings/screw";
import type { Assumptions } from "../readings/uncertainty";
import { pointSet, type SpanEnd } from "./span-end";

/** The scans that the readings of the record are made from. */
export interface RecordScans {
  readonly ends: readonly [SpanEnd, SpanEnd];
  /** The lower arch of each end's date. */
  readonly lowers: readonly [SpanEnd | null, SpanEnd | null];
  /** The scan from before the expansion, for a span in retention. */
  readonly before: SpanEnd | null;
}

/** What the rest of the measurement gives to them. */
type Measured = Pick<Readings, "widths" | "halves"> & { readonly words: Readings["span"]["words"] };

export interface RecordReadings {
  readonly record: Pick<Readings, "screw" | "retention" | "need" | "growth">;
  /** Needs made: they are asked for by two widths that stand. */
  readonly needs: number;
}

const pointsOf = (end: SpanEnd | null) => (end === null ? null : pointSet(end));

/**
 * The readings that need the record beside the upper scans: what the screw delivered, the loss since the end of turning,
 * the need to the lower arch.
 */
export function recordReadings(
  document: CaseDocument,
  { ends: [first, second], lowers, before }: RecordScans,
  { widths, halves, words }: Measured,
  assumptions: Assumptions,
): RecordReadings {
  const need = readNeed(
    document,
    {
      earlier: { timepoint: first.timepoint, lower: pointsOf(lowers[0]) },
      later: { timepoint: second.timepoint, lower: pointsOf(lowers[1]) },
      words,
      widths,
    },
    assumptions,
  );
  return {
    record: {
      screw: readScrew(document, { from: first.timepoint, to: second.timepoint, words, widths, halves }),
      retention:
        words === "retention"
          ? readRetention(
              document,
              {
                end: first.timepoint,
                retention: second.timepoint,
                points: [pointSet(first), pointSet(second)],
                widths,
                before: pointsOf(before),
              },
              assumptions,
            )
          : null,
      need,
      growth: readGrowth(document.identity, [first.timepoint, second.timepoint], words),
    },
    needs: needsMade(need),
  };
}

/** What the record itself asks the user to look at. */
export const recordWarnings = ({ screw }: Pick<Readings, "screw">): Warning[] =>
  screw?.separation?.verdict === "none-detected"
    ? [{ code: "no-separation", timepoint: null, text: screw.separation.sentence }]
    : [];
