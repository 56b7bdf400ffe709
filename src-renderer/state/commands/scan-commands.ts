import { parseMarks } from "#core/arch/marks";
import { type FileOffer, type FileTicket, fileAddress } from "#core/bridge/index";
import type { CaseDocument } from "#core/case/case-document";
import { describedCase, describedFiles, type OpenedScan, onlyMarks } from "#core/case/described-case";
import { beginHistory } from "#core/case/history";
import type { Timepoint } from "#core/case/timepoint";
import { errorParts, RapheError } from "#core/errors";
import type { Unit } from "#core/scan/unit";
import { attempt, type Desk, report, showWork } from "../desk";
import { nextTask } from "../next-task";
import { type HeldScan, heldFor, scanKey, timepointOf } from "../workspace";
import type { CaseCommands } from "./case-commands";
import type { LandmarkCommands } from "./landmark-commands";

/** Commands that bring scans in. */
export interface ScanCommands {
  /** Asks the user for scans; the first goes to `into`, the others to the timepoints that have none yet. */
  choose(into?: string): Promise<void>;
  /** Takes files that came by drop, by the system or by the dialog: scans, and landmark files (.json). */
  take(offer: FileOffer, into?: string): Promise<void>;
  /** Opens a scan for the case without giving it a place in it; null where another case is shown by then. */
  hold(ticket: FileTicket, unit: Unit): Promise<HeldScan | null>;
  openSample(id: string): Promise<void>;
  /** Opens a timepoint's scan again with its numbers in another unit. */
  setUnit(timepoint: string, unit: Unit): Promise<void>;
  /** Opens a scan of the case that the worker does not hold; its file must be the same as before. */
  reopen(scan: NonNullable<Timepoint["scan"]>, ticket: FileTicket): Promise<void>;
}

const isMarks = (ticket: FileTicket): boolean => ticket.name.toLowerCase().endsWith(".json");

export function scanCommands(desk: Desk, cases: CaseCommands, landmarks: LandmarkCommands): ScanCommands {
  const { store, jobs, raphe } = desk;

  async function open(ticket: FileTicket, unit: Unit): Promise<HeldScan> {
    const request = { url: fileAddress(ticket.token), name: ticket.name, size: ticket.size, unit };
    const answer = await showWork(store, `Opening ${ticket.name}`, (watch) => jobs.run("open-scan", request, watch));
    // Taking in a mesh makes the engine tidy up, and the page is about to be laid out anew: not in one go.
    await nextTask();
    const scan = { sha256: answer.sha256, fileName: ticket.name, unit };
    const known = store.get().scans.get(scanKey(scan));
    if (known !== undefined) {
      await jobs.run("close-scan", { handle: answer.handle });
      return known;
    }
    return { handle: answer.handle, scan, ticket, report: answer.report, display: answer.display };
  }

  const hold = (held: HeldScan) =>
    store.set((now) => ({ ...now, scans: new Map(now.scans).set(scanKey(held.scan), held) }));

  function attach(held: HeldScan, into: string | undefined): void {
    hold(held);
    const timepoint = into ?? freeTimepoint(store.get().history.now) ?? cases.addTimepoint();
    cases.act({ do: "attach-scan", timepoint, scan: held.scan });
  }

  async function take(offer: FileOffer, into?: string): Promise<void> {
    for (const error of offer.refused) report(store, error);
    let aim = into;
    for (const ticket of offer.tickets.filter((one) => !isMarks(one))) {
      const caseId = store.get().caseId;
      await attempt(store, ticket.name, async () => {
        const held = await open(ticket, "mm");
        if (store.get().caseId !== caseId) return;
        attach(held, aim);
        aim = undefined;
      });
    }
    for (const ticket of offer.tickets.filter(isMarks)) {
      await attempt(store, ticket.name, async () => landmarks.take(ticket.name, await textOf(ticket)));
    }
  }

  return {
    take,
    choose: async (into) => {
      const answer = await raphe.chooseScans();
      if (answer.ok) await take(answer.value, into);
      else report(store, answer.error);
    },
    hold: async (ticket, unit) => {
      const { caseId } = store.get();
      const held = await open(ticket, unit);
      if (store.get().caseId !== caseId) return null;
      hold(held);
      return held;
    },
    openSample: async (id) => {
      const answer = await raphe.openSample(id);
      if (!answer.ok) return report(store, answer.error);
      const { description, scans, marks } = answer.value;
      cases.begin();
      const { caseId } = store.get();
      const here = () => store.get().caseId === caseId;
      const begin = (document: CaseDocument) => store.set((now) => ({ ...now, history: beginHistory(document) }));
      await attempt(store, description.title, async () => {
        const files = onlyMarks(new Map(marks.map(({ path, text }) => [path, parseMarks(text, path)])));
        begin(unmarked(describedCase(description, files, description.title)));
        const opened = new Map<string, OpenedScan | null>();
        for (const { of, path, unit } of describedFiles(description).scans) {
          const ticket = scans.find((scan) => scan.path === path)?.ticket;
          if (ticket === undefined) continue;
          await attempt(store, ticket.name, async () => {
            const held = await open(ticket, unit);
            if (!here()) return;
            hold(held);
            opened.set(path, { ...held.scan, triangles: held.report.triangles.inFile });
            cases.act({ do: "attach-scan", timepoint: of, scan: held.scan });
          });
          if (!here()) return;
        }
        // The sample is as it comes: there is nothing before it to go back to.
        begin(describedCase(description, { ...files, scans: opened }, description.title));
      });
    },
    setUnit: async (timepoint, unit) => {
      const held = heldFor(store.get(), timepoint);
      if (held === null || held.scan.unit === unit) return;
      await attempt(store, held.scan.fileName, async () => {
        const again = await open(held.ticket, unit);
        const now = timepointOf(store.get().history.now, timepoint);
        if (now?.scan !== held.scan) return;
        hold(again);
        cases.act({ do: "set-unit", timepoint, unit });
      });
    },
    reopen: async (scan, ticket) => {
      await attempt(store, scan.fileName, async () => {
        const held = await open(ticket, scan.unit);
        if (held.scan.sha256 !== scan.sha256) {
          await jobs.run("close-scan", { handle: held.handle });
          throw new RapheError({
            code: "not-readable",
            subject: scan.fileName,
            problem: "the file has changed since it was brought into the case",
            remedy: "Open the scan again; its landmarks have to be placed anew",
          });
        }
        hold(held);
      });
    },
  };
}

/** The first timepoint without a scan. */
const freeTimepoint = (document: CaseDocument): string | undefined =>
  document.timepoints.find((timepoint) => timepoint.scan === null)?.name;

/** A case without landmarks, as long as its scans are still being opened: nothing is measured yet. */
const unmarked = (document: CaseDocument): CaseDocument => ({
  ...document,
  timepoints: document.timepoints.map((timepoint) => ({ ...timepoint, landmarks: [] })),
});

async function textOf(ticket: FileTicket): Promise<string> {
  const response = await fetch(fileAddress(ticket.token));
  if (response.ok) return response.text();
  throw new RapheError(errorPartsOf(await response.json(), ticket.name));
}

const errorPartsOf = (answer: unknown, name: string) =>
  typeof answer === "object" && answer !== null && "code" in answer
    ? (answer as ReturnType<typeof errorParts>)
    : errorParts(new Error("the file could not be read"), name);
