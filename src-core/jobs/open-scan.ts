import type { Vector3 } from "../geometry/vector";
import { type JobControl, partOf } from "../job-control";
import { type TriangleMesh, vertexCount } from "../mesh/triangle-mesh";
import { vertexFields } from "../mesh/vertex-fields";
import type { ByteSource } from "../scan/byte-source";
import { takeIn } from "../scan/intake";
import type { Unit } from "../scan/unit";
import type { DisplayMesh, JobAnswer } from "./job-list";
import type { KeptScan, ScanStore } from "./scan-store";

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

/** The centre of a mesh's bounding box, mm. */
function centreOf(mesh: TriangleMesh): Vector3 {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < mesh.positions.length; i++) {
    const value = mesh.positions[i]!;
    if (value < low[i % 3]!) low[i % 3] = value;
    if (value > high[i % 3]!) high[i % 3] = value;
  }
  return [(low[0]! + high[0]!) / 2, (low[1]! + high[1]!) / 2, (low[2]! + high[2]!) / 2];
}

/** Positions less the centre, in single precision: near the origin nothing visible is lost. */
function centred(mesh: TriangleMesh, centre: Vector3): Float32Array {
  const positions = new Float32Array(3 * vertexCount(mesh));
  for (let i = 0; i < positions.length; i++) positions[i] = mesh.positions[i]! - centre[i % 3]!;
  return positions;
}

function displayMesh(scan: KeptScan): DisplayMesh {
  const { mesh, normals, opposite } = scan.surface;
  const centre = centreOf(mesh);
  const { fragments } = scan.intake;
  const drawn = {
    positions: centred(mesh, centre),
    normals: Float32Array.from(normals),
    triangles: mesh.triangles.slice(),
  };
  return {
    ...drawn,
    // Here and not on the page, whose main thread it would hold up.
    ...vertexFields(drawn),
    colours: scan.intake.colours?.slice() ?? null,
    centre,
    opposite: opposite.slice(),
    fragments:
      fragments === null ? null : { positions: centred(fragments, centre), triangles: fragments.triangles.slice() },
  };
}
