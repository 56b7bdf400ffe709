import type { CaseDocument } from "./case-document";

/**
 * The timepoints in the order of time: those with a date change places among each other, those without stay where they
 * are. The compared span runs forward.
 */
export function inOrderOfTime(document: CaseDocument): CaseDocument {
  const { timepoints, span } = document;
  const dated = timepoints
    .filter(({ date }) => date !== null)
    .sort((a, b) => (a.date! < b.date! ? -1 : a.date! > b.date! ? 1 : 0));
  let next = 0;
  const ordered = timepoints.map((timepoint) => (timepoint.date === null ? timepoint : dated[next++]!));
  if (ordered.every((timepoint, i) => timepoint === timepoints[i])) return document;
  const place = (name: string) => ordered.findIndex((timepoint) => timepoint.name === name);
  const forward = place(span.from) < place(span.to);
  return { ...document, timepoints: ordered, span: forward ? span : { from: span.to, to: span.from } };
}

/** A timepoint under another name, in the compared span too. */
export function renameTimepoint(document: CaseDocument, timepoint: string, name: string): CaseDocument {
  const renamed = (one: string) => (one === timepoint ? name : one);
  return {
    ...document,
    timepoints: document.timepoints.map((t) => (t.name === timepoint ? { ...t, name } : t)),
    span: { from: renamed(document.span.from), to: renamed(document.span.to) },
  };
}

/** The case without a timepoint; where it was compared, its neighbour is. Two always remain. */
export function removeTimepoint(document: CaseDocument, timepoint: string): CaseDocument {
  const timepoints = document.timepoints.filter(({ name }) => name !== timepoint);
  if (timepoints.length < 2) return document;
  const { from, to } = document.span;
  if (from !== timepoint && to !== timepoint) return { ...document, timepoints };
  const names = timepoints.map(({ name }) => name);
  const kept = names.indexOf(from === timepoint ? to : from);
  // The first of them stays the earlier end unless it is the kept one alone.
  const other = from === timepoint ? (kept > 0 ? kept - 1 : 1) : kept < names.length - 1 ? kept + 1 : kept - 1;
  const [first, second] = [kept, other].sort((a, b) => a - b);
  return { ...document, timepoints, span: { from: names[first!]!, to: names[second!]! } };
}
