/**
 * A welded, indexed surface: what is measured on. Immutable once made; its owner is the worker that read it.
 */
export interface TriangleMesh {
  /** x, y, z of each vertex in mm, file coordinates times the scan's unit; 3 × vertex count. */
  readonly positions: Float64Array;
  /** Three vertex numbers per triangle, counter-clockwise seen from outside; 3 × triangle count. */
  readonly triangles: Uint32Array;
  /** For each triangle its number in the file (0-based), on which painted regions are stored; triangle count. */
  readonly fileTriangles: Uint32Array;
}

/** Number of vertices of a mesh. */
export const vertexCount = (mesh: TriangleMesh): number => mesh.positions.length / 3;

/** Number of triangles of a mesh. */
export const triangleCount = (mesh: TriangleMesh): number => mesh.triangles.length / 3;
