import { type ErrorParts, RapheError } from "#core/errors";
import type { JobAnswer, JobName, JobRequest } from "#core/jobs/job-list";
import type { JobNews, JobOrder } from "./messages";

/** How the page watches a job and gives it up. */
export interface JobWatch {
  /** Called with a share that never falls, 0 to 1, and what is being done. */
  onProgress?(share: number, doing: string | null): void;
  /** Aborting it ends the job with the error `cancelled`. */
  signal?: AbortSignal;
  /** Goes before all jobs that wait: for what answers a gesture. */
  urgent?: boolean;
}

interface Waiting {
  readonly order: JobOrder;
  readonly watch: JobWatch;
  readonly finish: (answer: JobAnswer<JobName>) => void;
  readonly fail: (error: RapheError) => void;
  share: number;
}

const parts = (code: ErrorParts["code"], problem: string, remedy: string): ErrorParts => ({
  code,
  subject: "",
  problem,
  remedy,
});

/** The page's end of the worker: jobs run one after another, in the order asked, urgent ones first. */
export class JobClient {
  readonly #make: () => Worker;
  readonly #onLost: () => void;
  #worker: Worker;
  #queue: Waiting[] = [];
  #running: Waiting | null = null;
  #nextId = 1;

  /**
   * @param make starts a worker
   * @param onLost called when a worker broke down: the new one holds no scans
   */
  constructor(make: () => Worker, onLost: () => void) {
    this.#make = make;
    this.#onLost = onLost;
    this.#worker = this.#start();
  }

  /**
   * Runs a job in the worker.
   * @throws RapheError as the job does; `cancelled` once given up; `internal` where the worker broke down
   */
  run<Name extends JobName>(name: Name, request: JobRequest<Name>, watch: JobWatch = {}): Promise<JobAnswer<Name>> {
    return new Promise((resolve, reject) => {
      const cancel = new SharedArrayBuffer(4);
      const order = { id: this.#nextId++, name, request, cancel } as JobOrder;
      const finish = resolve as (answer: JobAnswer<JobName>) => void;
      const waiting: Waiting = { order, watch, finish, fail: reject, share: 0 };
      if (watch.signal?.aborted) return this.#giveUp(waiting);
      watch.signal?.addEventListener("abort", () => this.#giveUp(waiting), { once: true });
      if (watch.urgent) this.#queue.unshift(waiting);
      else this.#queue.push(waiting);
      this.#next();
    });
  }

  #giveUp(waiting: Waiting): void {
    Atomics.store(new Int32Array(waiting.order.cancel), 0, 1);
    // A running job ends by itself at its next look at the flag; one that waits never starts.
    if (waiting === this.#running) return;
    this.#queue = this.#queue.filter((other) => other !== waiting);
    waiting.fail(new RapheError(parts("cancelled", "the work was stopped", "Start it again when wanted")));
  }

  #next(): void {
    if (this.#running !== null) return;
    const waiting = this.#queue.shift();
    if (waiting === undefined) return;
    this.#running = waiting;
    this.#worker.postMessage(waiting.order);
  }

  #hear(news: JobNews): void {
    const waiting = this.#running;
    if (waiting === null || news.id !== waiting.order.id) return;
    if (news.kind === "progress") {
      if (news.share < waiting.share) return;
      waiting.share = news.share;
      waiting.watch.onProgress?.(news.share, news.doing);
      return;
    }
    this.#running = null;
    if (news.kind === "answer") waiting.finish(news.answer);
    else waiting.fail(new RapheError(news.error));
    this.#next();
  }

  #start(): Worker {
    const worker = this.#make();
    worker.onmessage = (event: MessageEvent<JobNews>) => this.#hear(event.data);
    worker.onerror = (event) => {
      event.preventDefault();
      this.#replace(event.message);
    };
    worker.onmessageerror = () => this.#replace("a message could not be read");
    return worker;
  }

  /** The worker broke down: everything it had is lost, and all that waited for it fails. */
  #replace(why: string): void {
    this.#worker.terminate();
    const failed = this.#running === null ? this.#queue : [this.#running, ...this.#queue];
    this.#running = null;
    this.#queue = [];
    this.#worker = this.#start();
    this.#onLost();
    const error = parts("internal", `the computation broke down: ${why}`, "It starts again by itself; nothing is lost");
    for (const waiting of failed) waiting.fail(new RapheError(error));
  }
}
