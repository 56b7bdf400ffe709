import { commonPlanePairs } from "../arch/arch-frame";
import { frameOf, occlusalOf } from "../arch/landmarks-in-use";
import { snapLandmark } from "../arch/snap";
import type { JobAnswer, JobRequest } from "./job-list";
import type { ScanStore } from "./scan-store";

/**
 * Where a click really goes. Occlusal comes from the landmarks already there; before those give a frame, from where
 * the eye is: a clinician looks at cusps from occlusal.
 * @throws RapheError `landmark-off-surface`, `bad-request`
 */
export function snapOnScan(request: JobRequest<"snap-landmark">, store: ScanStore): JobAnswer<"snap-landmark"> {
  const { surface } = store.get(request.handle);
  const pairs = commonPlanePairs([request.landmarks]);
  const { frame } = frameOf(request.landmarks, pairs, "this scan");
  const occlusal = occlusalOf(frame, surface, frame === null ? [] : request.landmarks) ?? request.towardsEye;
  const { at, how, moved } = snapLandmark(surface, request.landmark, occlusal, "this scan");
  return { used: at, how, moved };
}
