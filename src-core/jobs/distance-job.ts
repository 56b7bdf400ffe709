import type { JobControl } from "../job-control";
import { distanceMap } from "../registration/distance-map";
import type { JobAnswer, JobRequest } from "./job-list";
import type { ScanStore } from "./scan-store";

/**
 * The distance map for drawing: one value a vertex of the later scan, NaN where there is none.
 * @throws RapheError `not-computable`, `bad-request`, `cancelled`
 */
export function mapDistances(
  request: JobRequest<"distance-map">,
  store: ScanStore,
  job: JobControl,
): JobAnswer<"distance-map"> {
  const later = store.get(request.later);
  const earlier = store.get(request.earlier);
  const { distances, summary } = distanceMap(later.surface, earlier.registration(), request.overlay, undefined, job);
  return { distances: Float32Array.from(distances), summary };
}
