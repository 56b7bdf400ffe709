import { errorParts } from "#core/errors";
import { type Desk, report, showWork } from "../desk";
import { loadSheetFonts } from "../sheet-fonts";
import { heldFor } from "../workspace";

/** Commands that write the record. */
export interface RecordCommands {
  /** Makes the sheet and asks where to put it. */
  issue(): Promise<void>;
}

export function recordCommands({ store, jobs, raphe }: Desk): RecordCommands {
  return {
    issue: async () => {
      const { measured } = store.get();
      if (measured === null) return;
      const { document, readings, overlay, frame } = measured;
      const issuedAt = `${new Date().toISOString().slice(0, 19)}Z`;
      const handles = handlesOf(store.get());
      try {
        const { files } = await showWork(store, "Making the sheet", async (watch) => {
          const fonts = await loadSheetFonts();
          // What was entered since (a date, a name) belongs on the sheet; what was measured is what is shown.
          const now = { ...document, identity: store.get().history.now.identity };
          return jobs.run("make-sheet", { document: now, readings, handles, overlay, frame, issuedAt, fonts }, watch);
        });
        const { pseudonym } = document.identity;
        const answer = await raphe.exportSheet({ pseudonym, date: issuedAt.slice(0, 10), files });
        if (!answer.ok) return report(store, answer.error);
        const issued = answer.value;
        if (issued !== null) store.set((now) => ({ ...now, issued }));
      } catch (thrown) {
        report(store, errorParts(thrown));
      }
    },
  };
}

/** The worker's handles of all scans that are held, by timepoint. */
export function handlesOf(workspace: Parameters<typeof heldFor>[0]): Record<string, string> {
  const handles: Record<string, string> = {};
  for (const { name } of workspace.history.now.timepoints) {
    const held = heldFor(workspace, name);
    if (held !== null) handles[name] = held.handle;
  }
  return handles;
}
