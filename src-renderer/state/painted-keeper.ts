import type { CaseDocument } from "#core/case/case-document";
import type { PaintedArea } from "#core/case/timepoint";
import type { PaintedBits } from "#core/jobs/job-list";
import { type Desk, report } from "./desk";

/** The painted areas that a case names. */
export const areasOf = ({ timepoints }: CaseDocument): PaintedArea[] =>
  timepoints.flatMap((t) => [t.appliancePainted, t.referencePainted].filter((area) => area !== null));

/** Of all bits those that a case names. */
export const bitsOf = (document: CaseDocument, painted: PaintedBits): PaintedBits =>
  Object.fromEntries(
    areasOf(document).flatMap(({ sha256 }) => (painted[sha256] === undefined ? [] : [[sha256, painted[sha256]]])),
  );

/** Keeps the bits of painted areas on the disk, and brings them back. */
export class PaintedKeeper {
  readonly #desk: Desk;
  readonly #sent = new Set<string>();

  constructor(desk: Desk) {
    this.#desk = desk;
  }

  /** Sends what a case names and main does not have yet; main saves it before the draft that is sent after it. */
  send(document: CaseDocument, painted: PaintedBits): void {
    for (const { sha256, triangles } of areasOf(document)) {
      const bits = painted[sha256];
      if (bits === undefined || this.#sent.has(sha256)) continue;
      this.#sent.add(sha256);
      void this.#desk.raphe.savePainted({ sha256, triangles, bits }).then((answer) => {
        // It is sent again with the next draft, which says that it could not be saved.
        if (!answer.ok) this.#sent.delete(sha256);
      });
    }
  }

  /**
   * Brings the bits of a case back into the workspace.
   * @returns the case, without the areas whose bits are not there; they were reported
   */
  async restore(document: CaseDocument): Promise<CaseDocument> {
    const { store, raphe } = this.#desk;
    const bits: Record<string, Uint8Array> = {};
    for (const area of areasOf(document)) {
      if (bits[area.sha256] !== undefined) continue;
      const answer = await raphe.loadPainted(area);
      if (answer.ok) {
        bits[area.sha256] = answer.value;
        this.#sent.add(area.sha256);
      } else report(store, answer.error);
    }
    store.set((now) => ({ ...now, painted: { ...now.painted, ...bits } }));
    const there = (area: PaintedArea | null) => (area !== null && bits[area.sha256] === undefined ? null : area);
    return {
      ...document,
      timepoints: document.timepoints.map((timepoint) => ({
        ...timepoint,
        appliancePainted: there(timepoint.appliancePainted),
        referencePainted: there(timepoint.referencePainted),
      })),
    };
  }
}
