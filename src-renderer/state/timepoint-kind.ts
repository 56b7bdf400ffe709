import type { CaseDocument, Timepoint } from "#core/case/case-document";

/** Which sign and colour a timepoint bears. */
export const kindOf = (document: CaseDocument, name: string): Timepoint["kind"] =>
  document.timepoints.find((timepoint) => timepoint.name === name)?.kind ?? "after";
