import type { TriangleMesh } from "../mesh/triangle-mesh";
import { STL_HEADER_BYTES, STL_TRIANGLE_BYTES } from "./stl-binary";

/**
 * A mesh as binary STL, coordinates rounded to single precision, normals from the corners.
 * @param header up to 80 letters of ASCII; must not begin with 'solid'
 */
export function writeStl(mesh: Pick<TriangleMesh, "positions" | "triangles">, header: string): Uint8Array {
  const { positions: p, triangles } = mesh;
  const count = triangles.length / 3;
  const bytes = new Uint8Array(STL_HEADER_BYTES + STL_TRIANGLE_BYTES * count);
  for (let i = 0; i < Math.min(80, header.length); i++) bytes[i] = header.charCodeAt(i);
  const view = new DataView(bytes.buffer);
  view.setUint32(80, count, true);
  for (let t = 0, at = STL_HEADER_BYTES; t < count; t++, at += STL_TRIANGLE_BYTES) {
    const a = 3 * triangles[3 * t]!;
    const b = 3 * triangles[3 * t + 1]!;
    const c = 3 * triangles[3 * t + 2]!;
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    const length = Math.sqrt(nx * nx + ny * ny + nz * nz);
    const scale = length === 0 ? 0 : 1 / length;
    view.setFloat32(at, nx * scale, true);
    view.setFloat32(at + 4, ny * scale, true);
    view.setFloat32(at + 8, nz * scale, true);
    [a, b, c].forEach((corner, i) => {
      for (let axis = 0; axis < 3; axis++) view.setFloat32(at + 12 + 12 * i + 4 * axis, p[corner + axis]!, true);
    });
  }
  return bytes;
}
