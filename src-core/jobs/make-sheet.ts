import { type JobControl, partOf } from "../job-control";
import { distanceMap } from "../registration/distance-map";
import { makeRecord } from "../sheet/record";
import type { JobAnswer, JobRequest } from "./job-list";
import type { ScanStore } from "./scan-store";
import { spanScans } from "./span-end";

/**
 * The folder of the record from readings that stand: nothing of them is computed again; the distances at each vertex,
 * which the readings do not hold, are measured anew under the same overlay for the picture.
 * @throws RapheError `bad-request`, `cancelled`
 */
export async function makeSheet(
  request: JobRequest<"make-sheet">,
  store: ScanStore,
  job: JobControl,
): Promise<JobAnswer<"make-sheet">> {
  const { document, readings, handles, painted, overlay, frame, issuedAt, fonts } = request;
  const span = { from: readings.span.from, to: readings.span.to };
  const [{ scan: earlier }, { scan: later }] = spanScans({ ...document, span }, handles, store, painted);
  job.progress(0, "Measuring the distance");
  const distances =
    earlier === null || later === null || overlay === null
      ? null
      : distanceMap(later.surface, earlier.registration(), overlay, undefined, partOf(job, 0, 0.2)).distances;
  const files = await makeRecord(
    {
      document,
      readings,
      earlier: earlier?.surface.mesh ?? null,
      later: later?.surface.mesh ?? null,
      overlay,
      frame,
      distances,
      issuedAt,
      fonts,
    },
    partOf(job, 0.2, 1),
  );
  return { files };
}
