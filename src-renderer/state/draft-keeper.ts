import type { FileTicket } from "#core/bridge/index";
import { CaseDocument, scansOf } from "#core/case/case-document";
import { beginHistory } from "#core/case/history";
import type { Commands } from "./commands";
import { type Desk, report } from "./desk";
import { areasOf, PaintedKeeper } from "./painted-keeper";
import { isEmpty, scanKey, type Workspace } from "./workspace";

/** Saving waits for this pause between actions, ms. */
const PAUSE = 250;

const twoDigits = (n: number): string => String(n).padStart(2, "0");
const clock = (time: Date): string => `${twoDigits(time.getHours())}:${twoDigits(time.getMinutes())}`;

/** Keeps the case on the disk after each action, and brings it back at the next start. */
export class DraftKeeper {
  readonly #desk: Desk;
  readonly #painted: PaintedKeeper;
  #kept: CaseDocument | null = null;
  #waiting: Workspace | null = null;
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor(desk: Desk) {
    this.#desk = desk;
    this.#painted = new PaintedKeeper(desk);
    desk.store.subscribe(() => this.#look());
    desk.raphe.onClosing(() => {
      // In this order: main takes requests as they come, and ends no save halfway.
      this.#saveNow();
      void desk.raphe.handedOver();
    });
  }

  /** Brings the case of the last run back, if there is one. */
  async restore(commands: Commands): Promise<void> {
    const { store, raphe } = this.#desk;
    const answer = await raphe.loadDraft();
    if (!answer.ok) return report(store, answer.error);
    const draft = answer.value;
    if (draft === null) return;
    const read = readDraft(draft.text);
    if (read === null) {
      return report(store, {
        code: "not-readable",
        subject: "The case of the last time",
        problem: "it was written by another version of the app",
        remedy: "It stays on this PC as it is; begin a new case, or use the version that wrote it",
      });
    }
    if (isEmpty(read)) return;
    const document = await this.#painted.restore(read);
    this.#kept = document;
    store.set((now) => ({ ...now, caseId: draft.caseId, history: beginHistory(document), continued: true }));
    for (const lost of draft.lost) report(store, lost.error);
    if (draft.olderState) {
      report(store, {
        code: "not-readable",
        subject: "The case of the last time",
        problem: "its newest state could not be read",
        remedy: "This is the last good one before it; look whether the latest entries are there",
      });
    }
    const tickets = new Map<string, FileTicket>(draft.scans.map(({ key, ticket }) => [key, ticket]));
    for (const { scan } of scansOf(document)) {
      const ticket = tickets.get(scan.sha256);
      if (ticket !== undefined) await commands.scans.reopen(scan, ticket);
    }
  }

  #look(): void {
    const workspace = this.#desk.store.get();
    const document = workspace.history.now;
    if (document === this.#kept) return;
    this.#kept = document;
    // Another case: what was entered in the one before is not to be forgotten.
    if (this.#waiting !== null && this.#waiting.caseId !== workspace.caseId) this.#saveNow();
    if (isEmpty(document)) return;
    this.#waiting = workspace;
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.#saveNow(), PAUSE);
    this.#desk.store.set((now) => ({ ...now, saved: { state: "saving" } }));
  }

  /** What waits to be saved is asked to be saved at once. */
  #saveNow(): void {
    clearTimeout(this.#timer);
    const workspace = this.#waiting;
    this.#waiting = null;
    if (workspace !== null) void this.#save(workspace);
  }

  async #save(workspace: Workspace): Promise<void> {
    const { store, raphe } = this.#desk;
    // Nothing is waited for in between: a closing window would not come to the draft.
    this.#painted.send(workspace.history.now, workspace.painted);
    const answer = await raphe.saveDraft({
      painted: [...new Set(areasOf(workspace.history.now).map(({ sha256 }) => sha256))],
      caseId: workspace.caseId,
      text: JSON.stringify(workspace.history.now),
      scans: ticketsOf(workspace),
    });
    const saved: Workspace["saved"] = answer.ok
      ? { state: "saved", at: clock(new Date()) }
      : { state: "failed", error: answer.error };
    // What was entered meanwhile is still to be saved.
    const current = () => store.get().history.now === workspace.history.now;
    if (current()) store.set((now) => ({ ...now, saved }));
  }
}

function readDraft(text: string): CaseDocument | null {
  try {
    const read = CaseDocument.safeParse(JSON.parse(text));
    return read.success ? read.data : null;
  } catch {
    return null;
  }
}

function ticketsOf(workspace: Workspace): { key: string; token: string }[] {
  const tokens = new Map<string, string>();
  for (const { scan } of scansOf(workspace.history.now)) {
    const held = workspace.scans.get(scanKey(scan));
    if (held !== undefined) tokens.set(held.scan.sha256, held.ticket.token);
  }
  return [...tokens].map(([key, token]) => ({ key, token }));
}
