import { RapheError } from "../errors";
import type { JobControl } from "../job-control";
import type { JobAnswer, JobRequest } from "./job-list";
import { measuredDistances } from "./measured-distances";
import type { ScanStore } from "./scan-store";
import { spanScans } from "./span-end";

/**
 * The distance map for drawing: one value a vertex of the later scan, NaN where there is none.
 * @throws RapheError `not-computable`, `bad-request`, `cancelled`
 */
export function mapDistances(
  request: JobRequest<"distance-map">,
  store: ScanStore,
  job: JobControl,
): JobAnswer<"distance-map"> {
  const { document, handles, painted, overlay, registration } = request;
  const [first, second] = spanScans(document, handles, store, painted);
  if (first.scan === null || second.scan === null) {
    throw new RapheError({
      code: "bad-request",
      subject: "Distance map",
      problem: "a scan of the span is missing",
      remedy: "Open it again",
    });
  }
  const { from, to } = document.span;
  const { distances, summary } = measuredDistances(
    { ...first, scan: first.scan, name: from },
    { ...second, scan: second.scan, name: to },
    overlay,
    registration,
    job,
  );
  return { distances: Float32Array.from(distances), summary };
}
