import { type JobControl, partOf } from "../job-control";
import type { ByteSource } from "../scan/byte-source";
import { takeIn } from "../scan/intake";
import type { Unit } from "../scan/unit";
import { displayMesh } from "./display-mesh";
import type { JobAnswer } from "./job-list";
import type { ScanStore } from "./scan-store";

/**
 * Takes a scan in and keeps it.
 * @param source the file's bytes, streamed
 * @param unit of the file's numbers
 * @returns handle, digest, report and a copy for drawing
 * @throws RapheError as `takeIn`
 */
export async function openScan(
  source: ByteSource,
  unit: Unit,
  store: ScanStore,
  job: JobControl,
): Promise<JobAnswer<"open-scan">> {
  const intake = await takeIn(source, { unit }, partOf(job, 0, 0.8));
  job.progress(0.8, "Building the search tree");
  const handle = store.keep(intake);
  job.progress(1, "Scan opened");
  return { handle, sha256: intake.report.sha256, report: intake.report, display: displayMesh(store.get(handle)) };
}
