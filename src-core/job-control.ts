import { RapheError } from "./errors";

/** How long work tells of its progress and learns that it is no longer wanted. */
export interface JobControl {
  /** Reports the share done so far, 0 to 1; calls with a smaller share than before are ignored by the receiver. */
  progress(share: number, doing?: string): void;
  /** True once the work is no longer wanted; cheap enough to ask every few thousand steps. */
  cancelled(): boolean;
}

/** A control for work that nobody watches or cancels. */
export const UNWATCHED: JobControl = { progress: () => {}, cancelled: () => false };

/**
 * Stops the work if it is no longer wanted.
 * @throws RapheError `cancelled`
 */
export function checkCancelled(job: JobControl): void {
  if (job.cancelled()) {
    throw new RapheError({
      code: "cancelled",
      subject: "",
      problem: "the work was stopped",
      remedy: "Start it again when wanted",
    });
  }
}

/** The part [from, to] of a larger job, as a control of its own. */
export function partOf(job: JobControl, from: number, to: number): JobControl {
  return {
    progress: (share, doing) => job.progress(from + (to - from) * share, doing),
    cancelled: () => job.cancelled(),
  };
}
