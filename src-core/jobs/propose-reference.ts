import { RapheError } from "../errors";
import type { JobControl } from "../job-control";
import { triangleCount } from "../mesh/triangle-mesh";
import { proposePalateRegion } from "../registration/palate-region";
import type { JobAnswer, JobRequest } from "./job-list";
import { archScan } from "./register-span";
import type { ScanStore } from "./scan-store";
import { spanEnds } from "./span-end";

/**
 * The reference region that a scan of the span would be registered by if none were painted, both halves together.
 * @throws RapheError `frame-degenerate`, `landmark-missing` where its landmarks do not bound a palate; `bad-request`
 */
export function proposeReference(
  { document, handles, painted, timepoint }: JobRequest<"propose-reference">,
  store: ScanStore,
  job: JobControl,
): JobAnswer<"propose-reference"> {
  const ends = spanEnds(document, handles, store, painted);
  const end = ends.find((one) => one.timepoint.name === timepoint);
  if (end === undefined || end.scan === null || end.landmarks.frame === null) {
    throw new RapheError({
      code: "frame-degenerate",
      subject: timepoint,
      problem: "no region can be proposed without the arch frame of this scan",
      remedy: "Place the cusp tips of two pairs of teeth and points of the raphe, or paint the region by hand",
    });
  }
  job.progress(0.5, "Proposing the reference");
  const { surface, toFrame, marks } = archScan(end);
  const { right, left } = proposePalateRegion(surface, toFrame, marks, timepoint);
  const { mesh } = surface;
  const triangles = new Uint8Array(triangleCount(mesh));
  for (let t = 0; t < triangles.length; t++) {
    const corners = [0, 1, 2].map((corner) => mesh.triangles[3 * t + corner]!);
    if ([right, left].some(({ mask }) => corners.every((v) => mask[v] === 1))) triangles[t] = 1;
  }
  return { triangles };
}
