import type { CaseAction } from "#core/case/actions";
import { emptyCase } from "#core/case/case-document";
import { act, beginHistory, type CaseHistory, redo, undo } from "#core/case/history";
import type { Desk } from "../desk";
import { FIRST_VIEW } from "../workspace";

/** Commands that change the case. */
export interface CaseCommands {
  act(action: CaseAction): void;
  undo(): void;
  redo(): void;
  /** Begins an empty case; the one before stays kept by the PC as a draft set aside. */
  begin(): void;
  /** Puts an error away. */
  putAway(trouble: number): void;
}

export function caseCommands({ store, jobs }: Desk): CaseCommands {
  const turn = (change: (history: CaseHistory) => CaseHistory) =>
    store.set((now) => {
      const history = change(now.history);
      // What is selected may be gone after a step back.
      return history === now.history
        ? now
        : { ...now, history, issued: null, continued: false, view: { ...now.view, selected: null } };
    });
  return {
    act: (action) => turn((history) => act(history, action)),
    undo: () => turn(undo),
    redo: () => turn(redo),
    begin: () => {
      const { scans, work } = store.get();
      for (const one of work) one.stop();
      for (const held of scans.values()) void jobs.run("close-scan", { handle: held.handle });
      store.set((now) => ({
        ...now,
        caseId: crypto.randomUUID(),
        history: beginHistory(emptyCase()),
        scans: new Map(),
        measured: null,
        measureError: null,
        distances: null,
        troubles: [],
        saved: { state: "nothing" },
        continued: false,
        issued: null,
        view: FIRST_VIEW,
      }));
    },
    putAway: (trouble) => store.set((now) => ({ ...now, troubles: now.troubles.filter((one) => one.id !== trouble) })),
  };
}
