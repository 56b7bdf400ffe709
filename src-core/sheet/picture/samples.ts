/** What is known of each sample of a depth buffer beside its depth. */
export interface Samples {
  /** Unit normal towards the eye of each sample. */
  readonly normals: Float32Array;
  /** Shares of the triangle's second and third corner. */
  readonly weights: Float32Array;
  /** 1 where the surface is seen from behind. */
  readonly behind: Uint8Array;
}

/**
 * Smooth normals and places within the triangle, of each sample that shows something.
 * @param vertices columns and rows in samples
 * @param normals of the vertices as the camera sees them
 * @param triangle the triangle seen in each sample, −1: none
 * @param width samples in a row
 */
export function sampleNormals(
  vertices: { column: Float64Array; row: Float64Array },
  triangles: Uint32Array,
  normals: Float64Array,
  triangle: Int32Array,
  width: number,
): Samples {
  const { column, row } = vertices;
  const out = new Float32Array(3 * triangle.length);
  const weights = new Float32Array(2 * triangle.length);
  const behind = new Uint8Array(triangle.length);
  for (let at = 0; at < triangle.length; at++) {
    const t = triangle[at]!;
    if (t < 0) continue;
    const a = triangles[3 * t]!;
    const b = triangles[3 * t + 1]!;
    const c = triangles[3 * t + 2]!;
    const px = (at % width) + 0.5 - column[a]!;
    const py = Math.floor(at / width) + 0.5 - row[a]!;
    const ux = column[b]! - column[a]!;
    const uy = row[b]! - row[a]!;
    const vx = column[c]! - column[a]!;
    const vy = row[c]! - row[a]!;
    const area = ux * vy - uy * vx;
    const s = (px * vy - py * vx) / area;
    const r = (ux * py - uy * px) / area;
    const q = 1 - s - r;
    let x = q * normals[3 * a]! + s * normals[3 * b]! + r * normals[3 * c]!;
    let y = q * normals[3 * a + 1]! + s * normals[3 * b + 1]! + r * normals[3 * c + 1]!;
    let z = q * normals[3 * a + 2]! + s * normals[3 * b + 2]! + r * normals[3 * c + 2]!;
    const l = Math.sqrt(x * x + y * y + z * z) || 1;
    // Rows run downwards, so a triangle seen from outside turns clockwise here: its area is negative.
    const side = area > 0 ? -1 : 1;
    x *= side / l;
    y *= side / l;
    z *= side / l;
    behind[at] = side < 0 ? 1 : 0;
    out[3 * at] = x;
    out[3 * at + 1] = y;
    out[3 * at + 2] = z;
    weights[2 * at] = s;
    weights[2 * at + 1] = r;
  }
  return { normals: out, weights, behind };
}
