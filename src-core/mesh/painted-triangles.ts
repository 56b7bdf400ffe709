import type { TriangleMesh } from "./triangle-mesh";
import { triangleCount, vertexCount } from "./triangle-mesh";

/**
 * A painted area of a surface, in the three shapes it is needed in: one bit per triangle of the file (as it is stored:
 * triangle t is bit t mod 8, lowest first, of byte ⌊t/8⌋), one byte per triangle of the mesh, one byte per vertex. Only
 * the first outlives the program: triangles of the mesh are numbered anew by every weld.
 */

/** Bytes that hold one bit for each of so many triangles. */
export const bitBytes = (fileTriangles: number): number => Math.ceil(fileTriangles / 8);

/** Per triangle of the mesh 1 where its triangle of the file is painted; what lies beyond the bits is not. */
export function maskFromBits(mesh: Pick<TriangleMesh, "fileTriangles">, bits: Uint8Array): Uint8Array {
  const { fileTriangles } = mesh;
  const mask = new Uint8Array(fileTriangles.length);
  for (let t = 0; t < mask.length; t++) {
    const file = fileTriangles[t]!;
    mask[t] = ((bits[file >>> 3] ?? 0) >>> (file & 7)) & 1;
  }
  return mask;
}

/**
 * The bits of a painted mesh. Triangles of the file that are not of the mesh (without area, repeated, floating
 * fragments) stay unpainted: nothing is measured on them.
 * @param mask per triangle of the mesh, 0 = not painted
 * @param fileTriangles how many triangles the file has
 */
export function bitsFromMask(
  mesh: Pick<TriangleMesh, "fileTriangles">,
  mask: Uint8Array,
  fileTriangles: number,
): Uint8Array {
  const bits = new Uint8Array(bitBytes(fileTriangles));
  for (let t = 0; t < mask.length; t++) {
    if (mask[t] === 0) continue;
    const file = mesh.fileTriangles[t]!;
    bits[file >>> 3]! |= 1 << (file & 7);
  }
  return bits;
}

/** Per vertex 1 where a painted triangle touches it. */
export function touchedVertices(mesh: TriangleMesh, mask: Uint8Array): Uint8Array {
  const touched = new Uint8Array(vertexCount(mesh));
  for (let t = 0; t < triangleCount(mesh); t++) {
    if (mask[t] === 0) continue;
    for (let corner = 0; corner < 3; corner++) touched[mesh.triangles[3 * t + corner]!] = 1;
  }
  return touched;
}
