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
  const rows = triangle.length / width;
  for (let y = 0; y < rows; y++) {
    // Neighbours in a row mostly show the same triangle: what is known of it is looked up once.
    let last = -1;
    let [ax, ay, ux, uy, vx, vy, area, side, a, b, c] = [0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0];
    for (let x = 0; x < width; x++) {
      const at = y * width + x;
      const t = triangle[at]!;
      if (t < 0) continue;
      if (t !== last) {
        last = t;
        a = triangles[3 * t]!;
        b = triangles[3 * t + 1]!;
        c = triangles[3 * t + 2]!;
        ax = column[a]!;
        ay = row[a]!;
        ux = column[b]! - ax;
        uy = row[b]! - ay;
        vx = column[c]! - ax;
        vy = row[c]! - ay;
        area = ux * vy - uy * vx;
        // Rows run downwards, so a triangle seen from outside turns clockwise here: its area is negative.
        side = area > 0 ? -1 : 1;
      }
      const px = x + 0.5 - ax;
      const py = y + 0.5 - ay;
      const s = (px * vy - py * vx) / area;
      const r = (ux * py - uy * px) / area;
      const q = 1 - s - r;
      const nx = q * normals[3 * a]! + s * normals[3 * b]! + r * normals[3 * c]!;
      const ny = q * normals[3 * a + 1]! + s * normals[3 * b + 1]! + r * normals[3 * c + 1]!;
      const nz = q * normals[3 * a + 2]! + s * normals[3 * b + 2]! + r * normals[3 * c + 2]!;
      const scale = side / (Math.sqrt(nx * nx + ny * ny + nz * nz) || 1);
      behind[at] = side < 0 ? 1 : 0;
      out[3 * at] = nx * scale;
      out[3 * at + 1] = ny * scale;
      out[3 * at + 2] = nz * scale;
      weights[2 * at] = s;
      weights[2 * at + 1] = r;
    }
  }
  return { normals: out, weights, behind };
}
