import { type CaseAction, reduceCase } from "./actions";
import type { CaseDocument } from "./case-document";

/** A case with its past and future: undo is a stack of documents, each immutable. */
export interface CaseHistory {
  readonly now: CaseDocument;
  readonly past: readonly CaseDocument[];
  readonly future: readonly CaseDocument[];
}

export const beginHistory = (document: CaseDocument): CaseHistory => ({ now: document, past: [], future: [] });

/** The history after an action; an action that changes nothing leaves no step. */
export function act(history: CaseHistory, action: CaseAction): CaseHistory {
  const next = reduceCase(history.now, action);
  return next === history.now ? history : { now: next, past: [...history.past, history.now], future: [] };
}

/** One step back; the same history where there is none. */
export function undo(history: CaseHistory): CaseHistory {
  const previous = history.past.at(-1);
  if (previous === undefined) return history;
  return { now: previous, past: history.past.slice(0, -1), future: [history.now, ...history.future] };
}

/** One step forward again. */
export function redo(history: CaseHistory): CaseHistory {
  const next = history.future[0];
  if (next === undefined) return history;
  return { now: next, past: [...history.past, history.now], future: history.future.slice(1) };
}
