import { grouped } from "../grouped";
import { MAX_COORDINATE } from "./limits";
import { scanError } from "./scan-errors";

/**
 * Checks the coordinates of all vertices that triangles use; others never reach a mesh.
 * @throws RapheError `not-finite`, `malformed`
 */
export function checkReferenced(name: string, vertices: Float32Array | Float64Array, triangles: Uint32Array): void {
  let sound = true;
  // Written so that not-a-number fails.
  for (let i = 0; i < vertices.length; i++) if (!(Math.abs(vertices[i]!) < MAX_COORDINATE)) sound = false;
  if (sound) return;
  for (let i = 0; i < triangles.length; i++) {
    const vertex = triangles[i]!;
    const at = Array.from(vertices.subarray(3 * vertex, 3 * vertex + 3));
    if (at.every((value) => Math.abs(value) < MAX_COORDINATE)) continue;
    const where = `vertex ${grouped(vertex)}, counted from 0`;
    throw at.every(Number.isFinite)
      ? scanError("malformed", name, `a coordinate (${at.join(", ")}) that no scan can have`, where)
      : scanError("not-finite", name, `a coordinate that is not a number (${at.join(", ")})`, where);
  }
}
