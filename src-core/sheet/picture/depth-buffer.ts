import type { SeenVertices } from "./camera";

/** What is nearest to the eye in each sample of a picture. */
export interface DepthBuffer {
  readonly width: number;
  readonly height: number;
  /** mm towards the eye; −Infinity where nothing is. */
  readonly depth: Float32Array;
  /** Number of the triangle seen; −1 where nothing is. */
  readonly triangle: Int32Array;
}

/**
 * Draws triangles into a z-buffer (Catmull 1974): a sample belongs to the nearest triangle that covers its centre.
 * Triangles seen from behind are drawn too; a trimmed scan shows its inside.
 * @param vertices columns and rows in samples
 * @param triangles three vertex numbers each
 */
export function drawDepth(
  vertices: SeenVertices,
  triangles: Uint32Array,
  width: number,
  height: number,
  polled: () => void = () => {},
): DepthBuffer {
  const depth = new Float32Array(width * height).fill(-Infinity);
  const triangle = new Int32Array(width * height).fill(-1);
  const { column, row, depth: eye } = vertices;
  for (let t = 0; t < triangles.length / 3; t++) {
    if (t % 8192 === 0) polled();
    const a = triangles[3 * t]!;
    const b = triangles[3 * t + 1]!;
    const c = triangles[3 * t + 2]!;
    const ax = column[a]!;
    const ay = row[a]!;
    const ux = column[b]! - ax;
    const uy = row[b]! - ay;
    const vx = column[c]! - ax;
    const vy = row[c]! - ay;
    const area = ux * vy - uy * vx;
    if (area === 0 || Number.isNaN(area)) continue;
    const first = Math.max(0, Math.ceil(Math.min(0, ux, vx) + ax - 0.5));
    const last = Math.min(width - 1, Math.floor(Math.max(0, ux, vx) + ax - 0.5));
    const top = Math.max(0, Math.ceil(Math.min(0, uy, vy) + ay - 0.5));
    const bottom = Math.min(height - 1, Math.floor(Math.max(0, uy, vy) + ay - 0.5));
    const za = eye[a]!;
    const zu = eye[b]! - za;
    const zv = eye[c]! - za;
    const turn = area < 0 ? -1 : 1;
    for (let y = top; y <= bottom; y++) {
      const py = y + 0.5 - ay;
      for (let x = first; x <= last; x++) {
        const px = x + 0.5 - ax;
        // About half of the box lies outside: the signs tell before anything is divided.
        const towardsB = px * vy - py * vx;
        const towardsC = ux * py - uy * px;
        if (towardsB * turn < 0 || towardsC * turn < 0) continue;
        const s = towardsB / area;
        const r = towardsC / area;
        if (s + r > 1) continue;
        const z = Math.fround(za + s * zu + r * zv);
        const at = y * width + x;
        if (z > depth[at]!) {
          depth[at] = z;
          triangle[at] = t;
        }
      }
    }
  }
  return { width, height, depth, triangle };
}
