import type { CaseAction } from "#core/case/actions";
import { type CaseDocument, emptyCase } from "#core/case/case-document";
import { act, beginHistory, type CaseHistory, redo, undo } from "#core/case/history";
import type { Desk } from "../desk";
import { FIRST_VIEW, isEmpty, type Workspace } from "../workspace";

const emptyHistory = (): CaseHistory => beginHistory(emptyCase());

/** Commands that change the case. */
export interface CaseCommands {
  act(action: CaseAction): void;
  /** Adds a visit after the last one; answers its name. */
  addTimepoint(): string;
  undo(): void;
  redo(): void;
  /** Begins an empty case; the one before can be gone back to. */
  begin(): void;
  /** Goes back to the case that was left for a new one. */
  goBack(): void;
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
  /** Shows another case; what belonged to the one before is put away. */
  const show = (part: Pick<Workspace, "caseId" | "history" | "scans" | "left">) =>
    store.set((now) => ({
      ...now,
      ...part,
      measured: null,
      measureError: null,
      distances: null,
      troubles: [],
      saved: { state: "nothing" },
      continued: false,
      issued: null,
      view: FIRST_VIEW,
    }));
  const doIt = (action: CaseAction) => turn((history) => act(history, action));
  return {
    act: doIt,
    addTimepoint: () => {
      const name = newTimepointName(store.get().history.now);
      doIt({ do: "add-timepoint", name, kind: "retention", date: null });
      return name;
    },
    undo: () => turn(undo),
    redo: () => turn(redo),
    begin: () => {
      const { work, caseId, history, scans, left } = store.get();
      for (const one of work) one.stop();
      if (isEmpty(history.now)) return show({ caseId: crypto.randomUUID(), history: emptyHistory(), scans, left });
      const kept = new Set([...scans.values()].map((held) => held.handle));
      for (const { handle } of left?.scans.values() ?? []) {
        if (!kept.has(handle)) void jobs.run("close-scan", { handle });
      }
      show({
        caseId: crypto.randomUUID(),
        history: emptyHistory(),
        scans: new Map(),
        left: { caseId, history, scans },
      });
    },
    goBack: () => {
      const { left } = store.get();
      if (left !== null) show({ ...left, left: null });
    },
    putAway: (trouble) => store.set((now) => ({ ...now, troubles: now.troubles.filter((one) => one.id !== trouble) })),
  };
}

/** 'in retention', then with a number. */
function newTimepointName(document: CaseDocument): string {
  const taken = new Set(document.timepoints.map((timepoint) => timepoint.name));
  let number = 1;
  const name = () => (number === 1 ? "in retention" : `in retention ${number}`);
  while (taken.has(name())) number += 1;
  return name();
}
