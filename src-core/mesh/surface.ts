import { oppositeHalfEdges } from "./edges";
import type { TriangleMesh } from "./triangle-mesh";
import { buildTriangleTree, type TriangleTree } from "./triangle-tree";
import { vertexNormals } from "./vertex-normals";

/** What an appliance covers: it is not the patient's surface, and takes part in no fit and no reading. */
export interface Masked {
  /** Per triangle, 1 = covered. */
  readonly triangles: Uint8Array;
  /** Per vertex, 1 = a covered triangle touches it. */
  readonly vertices: Uint8Array;
}

/** A mesh with what measuring on it needs; made once per scan and kept by the worker that owns it. */
export interface Surface {
  readonly mesh: TriangleMesh;
  readonly tree: TriangleTree;
  /** Unit vertex normals, 3 × vertices. */
  readonly normals: Float64Array;
  /** Opposite half-edges, 3 × triangles, −1 at the border. */
  readonly opposite: Int32Array;
  /** Left out where nothing is covered. */
  readonly masked?: Masked;
}

/** Tree, normals and neighbours of a mesh. */
export function surfaceOf(mesh: TriangleMesh): Surface {
  return {
    mesh,
    tree: buildTriangleTree(mesh),
    normals: vertexNormals(mesh),
    opposite: oppositeHalfEdges(mesh),
  };
}
