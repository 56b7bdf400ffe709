import type { CaseDocument } from "../case/case-document";
import type { Readings, Warning } from "../readings/readings-document";
import { readRetention } from "../readings/retention";
import { readScrew } from "../readings/screw";
import type { ScanStore } from "./scan-store";
import { endBefore, pointSet, type SpanEnd } from "./span-end";

/** What the rest of the measurement gives to the readings of the record. */
type Measured = Pick<Readings, "widths" | "halves"> & { readonly words: Readings["span"]["words"] };

/**
 * The readings that need the record beside the scans: what the screw delivered, and the loss since the end of turning.
 * @throws RapheError `bad-request` where a handle names nothing
 */
export function recordReadings(
  document: CaseDocument,
  [first, second]: readonly [SpanEnd, SpanEnd],
  { widths, halves, words }: Measured,
  handles: Readonly<Record<string, string>>,
  store: ScanStore,
): Pick<Readings, "screw" | "retention"> {
  const before = words === "retention" ? endBefore(document, handles, store) : null;
  return {
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
              before: before === null ? null : pointSet(before),
            },
            document.settings,
          )
        : null,
  };
}

/** What the record itself asks the user to look at. */
export const recordWarnings = ({ screw }: Pick<Readings, "screw">): Warning[] =>
  screw?.separation?.verdict === "none-detected"
    ? [{ code: "no-separation", timepoint: null, text: screw.separation.sentence }]
    : [];
