import { checkCancelled, type JobControl } from "../job-control";

/** At most this many triangles (or half-edges, or vertices) pass between two looks at the cancel flag. */
export const STEPS_PER_POLL = 8192;

/**
 * Looks at the cancel flag at every 8192nd step of a loop.
 * @throws RapheError `cancelled`
 */
export function poll(job: JobControl, step: number): void {
  if (step % STEPS_PER_POLL === 0) checkCancelled(job);
}
