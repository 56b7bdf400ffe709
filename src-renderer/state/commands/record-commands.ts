import type { CaseDocument } from "#core/case/case-document";
import { errorParts } from "#core/errors";
import { type Desk, report, showWork } from "../desk";
import { localMoment } from "../local-moment";
import { bitsOf } from "../painted-keeper";
import { loadSheetFonts } from "../sheet-fonts";
import { handlesOfSpan, type Measured, timepointOf } from "../workspace";

/** Commands that write the record. */
export interface RecordCommands {
  /** Makes the sheet and asks where to put it. */
  issue(): Promise<void>;
}

export function recordCommands({ store, jobs, raphe }: Desk): RecordCommands {
  return {
    issue: async () => {
      const { measured, history, painted } = store.get();
      if (measured === null || measured.readings.made === 0) return;
      const { readings, overlay, frame } = measured;
      const issuedAt = localMoment(new Date());
      const document = documentToIssue(measured, history.now);
      const handles = handlesOfSpan(measured);
      try {
        const { files } = await showWork(store, "Making the sheet", async (watch) => {
          const fonts = await loadSheetFonts();
          return jobs.run(
            "make-sheet",
            { document, readings, handles, painted: bitsOf(document, painted), overlay, frame, issuedAt, fonts },
            watch,
          );
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

/** The case that was measured, with what was entered since and changes no reading: identity and dates. */
function documentToIssue({ document }: Measured, now: CaseDocument): CaseDocument {
  const timepoints = document.timepoints.map((timepoint) => ({
    ...timepoint,
    date: timepointOf(now, timepoint.name)?.date ?? timepoint.date,
  }));
  return { ...document, timepoints, identity: now.identity };
}
