import type { SurfaceMesh } from "./surface-nets";

export const INVENTED = "invented sample, no patient";

/** Binary STL (little endian), 80 header bytes with the note that the data are invented. */
export function toStl(mesh: SurfaceMesh): Uint8Array {
  const count = mesh.triangles.length / 3;
  const bytes = new Uint8Array(84 + 50 * count);
  bytes.set(new TextEncoder().encode(`Raphe: ${INVENTED}`.padEnd(80)));
  const view = new DataView(bytes.buffer);
  view.setUint32(80, count, true);
  const p = mesh.positions;
  for (let t = 0; t < count; t++) {
    const [a, b, c] = [0, 1, 2].map((i) => mesh.triangles[t * 3 + i]! * 3) as [number, number, number];
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    const n = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
    const l = Math.sqrt(n[0]! * n[0]! + n[1]! * n[1]! + n[2]! * n[2]!);
    const at = 84 + 50 * t;
    for (let i = 0; i < 3; i++) view.setFloat32(at + 4 * i, l === 0 ? 0 : n[i]! / l, true);
    for (const [k, v] of [a, b, c].entries()) {
      for (let i = 0; i < 3; i++) view.setFloat32(at + 12 + 12 * k + 4 * i, p[v + i]!, true);
    }
  }
  return bytes;
}

/** Binary little-endian PLY with the note that the data are invented as a comment. */
export function toPly(mesh: SurfaceMesh): Uint8Array {
  const vertices = mesh.positions.length / 3;
  const faces = mesh.triangles.length / 3;
  const header = new TextEncoder().encode(
    [
      "ply",
      "format binary_little_endian 1.0",
      `comment Raphe: ${INVENTED}`,
      `element vertex ${vertices}`,
      "property float x",
      "property float y",
      "property float z",
      `element face ${faces}`,
      "property list uchar int vertex_indices",
      "end_header\n",
    ].join("\n"),
  );
  const bytes = new Uint8Array(header.length + 12 * vertices + 13 * faces);
  bytes.set(header);
  const view = new DataView(bytes.buffer);
  let at = header.length;
  for (const x of mesh.positions) {
    view.setFloat32(at, x, true);
    at += 4;
  }
  for (let t = 0; t < faces; t++) {
    view.setUint8(at, 3);
    for (let i = 0; i < 3; i++) view.setInt32(at + 1 + 4 * i, mesh.triangles[t * 3 + i]!, true);
    at += 13;
  }
  return bytes;
}
