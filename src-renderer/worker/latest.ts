/** Work of which only the newest counts: starting it anew gives up what is still running. */
export class Latest {
  #controller: AbortController | null = null;

  /** Gives up what runs and hands out the signal for the next. */
  next(): AbortSignal {
    this.stop();
    this.#controller = new AbortController();
    return this.#controller.signal;
  }

  /** Gives up what runs. */
  stop(): void {
    this.#controller?.abort();
    this.#controller = null;
  }
}
