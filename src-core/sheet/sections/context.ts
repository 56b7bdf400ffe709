import type { CaseDocument } from "../../case/case-document";
import type { Timepoint } from "../../case/timepoint";
import type { Readings } from "../../readings/readings-document";
import type { SheetPictures } from "../picture/sheet-pictures";
import type { TimepointKind } from "../style";

/** What every section is built from. */
export interface SheetContext {
  readonly document: CaseDocument;
  readonly readings: Readings;
  /** null: the sheet is built without pictures (live on the screen, or no frame). */
  readonly pictures: SheetPictures | null;
  /** ISO 8601. */
  readonly issuedAt: string;
}

/** The two compared timepoints of the case; null where the case does not know the name. */
export function comparedTimepoints(context: SheetContext): { from: Timepoint | null; to: Timepoint | null } {
  const named = (name: string) => context.document.timepoints.find((t) => t.name === name) ?? null;
  return { from: named(context.readings.span.from), to: named(context.readings.span.to) };
}

/** The sign and colour of the two compared timepoints. */
export function comparedKinds(context: SheetContext): { from: TimepointKind; to: TimepointKind } {
  const { from, to } = comparedTimepoints(context);
  const retention = context.readings.span.words === "retention";
  return { from: from?.kind ?? (retention ? "after" : "before"), to: to?.kind ?? (retention ? "retention" : "after") };
}
