import { guessedStand } from "../arch/guessed-stand";
import type { Vector3 } from "../geometry/vector";
import { borderLines } from "../mesh/border-lines";
import { type TriangleMesh, vertexCount } from "../mesh/triangle-mesh";
import { vertexFields } from "../mesh/vertex-fields";
import type { DisplayMesh } from "./job-list";
import type { KeptScan } from "./scan-store";

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

/** How far the farthest vertex lies from the display's origin, mm. */
function reachOf(positions: Float32Array): number {
  let square = 0;
  for (let i = 0; i < positions.length; i += 3) {
    const [x, y, z] = [positions[i]!, positions[i + 1]!, positions[i + 2]!];
    square = Math.max(square, x * x + y * y + z * z);
  }
  return Math.sqrt(square);
}

/**
 * A kept scan's copy for drawing, in memory of its own. All that drawing needs of the whole surface is computed here and
 * not on the page, whose main thread it would hold up.
 */
export function displayMesh(scan: KeptScan): DisplayMesh {
  const { mesh, normals } = scan.surface;
  const centre = centreOf(mesh);
  const { fragments } = scan.intake;
  const drawn = {
    positions: centred(mesh, centre),
    normals: Float32Array.from(normals),
    triangles: mesh.triangles.slice(),
    fileTriangles: mesh.fileTriangles.slice(),
    opposite: scan.surface.opposite.slice(),
    centre,
  };
  return {
    ...drawn,
    ...vertexFields(drawn),
    border: borderLines(drawn),
    reach: reachOf(drawn.positions),
    stand: guessedStand(drawn),
    colours: scan.intake.colours?.slice() ?? null,
    fragments:
      fragments === null ? null : { positions: centred(fragments, centre), triangles: fragments.triangles.slice() },
  };
}
