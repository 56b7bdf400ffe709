import { RapheError } from "../errors";
import type { JobControl } from "../job-control";
import { distanceMap } from "../registration/distance-map";
import type { JobAnswer, JobRequest } from "./job-list";
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
  const { document, handles, painted, overlay } = request;
  const [earlier, later] = spanScans(document, handles, store, painted).map(({ scan }) => scan);
  if (!earlier || !later) {
    throw new RapheError({
      code: "bad-request",
      subject: "Distance map",
      problem: "a scan of the span is missing",
      remedy: "Open it again",
    });
  }
  const { distances, summary } = distanceMap(later.surface, earlier.registration(), overlay, undefined, job);
  return { distances: Float32Array.from(distances), summary };
}
