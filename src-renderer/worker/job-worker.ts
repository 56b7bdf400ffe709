import { errorParts } from "#core/errors";
import type { JobControl } from "#core/job-control";
import { mapDistances } from "#core/jobs/distance-job";
import type { JobAnswer, JobName } from "#core/jobs/job-list";
import { makeSheet } from "#core/jobs/make-sheet";
import { measure } from "#core/jobs/measure";
import { openScan } from "#core/jobs/open-scan";
import { proposeReference } from "#core/jobs/propose-reference";
import { ScanStore } from "#core/jobs/scan-store";
import { snapOnScan } from "#core/jobs/snap-landmark";
import type { JobNews, JobOrder } from "./messages";
import { streamedFile } from "./streamed-file";
import { buffersOf } from "./transfer";

/** Progress is told at most this often, ms. */
const TELL_EVERY = 50;

/** The worker that owns every measuring mesh and runs one job after the other. */
const store = new ScanStore();

const tell = (news: JobNews, transfer: Transferable[] = []): void => self.postMessage(news, { transfer });

function controlOf({ id, cancel }: JobOrder): JobControl {
  const flag = new Int32Array(cancel);
  let told = 0;
  return {
    progress: (share, doing) => {
      const now = performance.now();
      if (now - told < TELL_EVERY) return;
      told = now;
      tell({ id, kind: "progress", share, doing: doing ?? null });
    },
    cancelled: () => Atomics.load(flag, 0) !== 0,
  };
}

async function answer(order: JobOrder, job: JobControl): Promise<JobAnswer<JobName>> {
  switch (order.name) {
    case "open-scan": {
      const { url, name, size, unit } = order.request;
      return openScan(streamedFile(url, name, size), unit, store, job);
    }
    case "close-scan":
      store.forget(order.request.handle);
      return null;
    case "snap-landmark":
      return snapOnScan(order.request, store);
    case "measure":
      return measure(order.request, store, job);
    case "distance-map":
      return mapDistances(order.request, store, job);
    case "propose-reference":
      return proposeReference(order.request, store, job);
    case "make-sheet":
      return makeSheet(order.request, store, job);
  }
}

self.onmessage = async (event: MessageEvent<JobOrder>) => {
  const order = event.data;
  try {
    const done = await answer(order, controlOf(order));
    tell({ id: order.id, kind: "answer", answer: done }, buffersOf(done));
  } catch (thrown) {
    tell({ id: order.id, kind: "error", error: errorParts(thrown) });
  }
};
