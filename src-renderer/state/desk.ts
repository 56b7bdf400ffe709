import type { RapheApi } from "#core/bridge/index";
import { type ErrorParts, errorParts } from "#core/errors";
import type { JobClient, JobWatch } from "../worker/job-client";
import type { Store } from "./store";
import type { Workspace } from "./workspace";

/** What every command works with: the state of the page, the worker, and the PC. */
export interface Desk {
  readonly store: Store<Workspace>;
  readonly jobs: JobClient;
  readonly raphe: RapheApi;
}

let lastId = 0;

/** Puts an error where the user sees it; work that was given up is none. */
export function report(store: Store<Workspace>, error: ErrorParts): void {
  if (error.code === "cancelled") return;
  lastId += 1;
  const trouble = { id: lastId, error };
  store.set((now) => ({ ...now, troubles: [...now.troubles, trouble] }));
}

/**
 * Runs long work, shown with its progress and a way to stop it.
 * @param words what is being done: 'Opening before.stl'
 * @param given a signal that may end the work from elsewhere, too
 */
export async function showWork<T>(
  store: Store<Workspace>,
  words: string,
  run: (watch: Required<Pick<JobWatch, "onProgress" | "signal">>) => Promise<T>,
  given?: AbortSignal,
): Promise<T> {
  lastId += 1;
  const id = lastId;
  const controller = new AbortController();
  given?.addEventListener("abort", () => controller.abort(), { once: true });
  if (given?.aborted) controller.abort();
  const work = { id, words, share: 0, doing: null, stop: () => controller.abort() };
  store.set((now) => ({ ...now, work: [...now.work, work] }));
  const onProgress = (share: number, doing: string | null) =>
    store.set((now) => ({ ...now, work: now.work.map((one) => (one.id === id ? { ...one, share, doing } : one)) }));
  try {
    return await run({ onProgress, signal: controller.signal });
  } finally {
    store.set((now) => ({ ...now, work: now.work.filter((one) => one.id !== id) }));
  }
}

/** Runs something and shows its error, if it has one; answers whether it went well. */
export async function attempt(store: Store<Workspace>, subject: string, run: () => Promise<void>): Promise<boolean> {
  try {
    await run();
    return true;
  } catch (thrown) {
    report(store, errorParts(thrown, subject));
    return false;
  }
}
