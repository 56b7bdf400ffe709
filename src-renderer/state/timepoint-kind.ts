import type { CaseDocument } from "#core/case/case-document";
import type { Timepoint } from "#core/case/timepoint";

/** Which sign and colour a timepoint bears. */
export const kindOf = (document: CaseDocument, name: string): Timepoint["kind"] =>
  document.timepoints.find((timepoint) => timepoint.name === name)?.kind ?? "after";
