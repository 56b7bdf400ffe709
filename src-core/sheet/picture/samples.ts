import type { SeenVertices } from "./camera";

/**
 * Reads what samples of a depth buffer show: the smooth normal and the place within the triangle. Neighbours mostly show
 * the same triangle, so what is known of a triangle is looked up once; the outcome stands in the reader's own fields.
 */
export class SampleReader {
  /** Unit normal on the side that is seen: right, up, towards the eye. */
  x = 0;
  y = 0;
  z = 0;
  /** Shares of the triangle's second and third corner. */
  second = 0;
  third = 0;
  /** Whether the surface is seen from behind. */
  behind = false;

  private triangle = -1;
  private a = 0;
  private b = 0;
  private c = 0;
  private ux = 0;
  private uy = 0;
  private vx = 0;
  private vy = 0;
  private area = 0;

  /**
   * @param vertices columns and rows in samples
   * @param normals of the vertices as the camera sees them
   */
  constructor(
    private readonly vertices: SeenVertices,
    private readonly triangles: Uint32Array,
    private readonly normals: Float64Array,
  ) {}

  /** The sample in this column and row, which shows triangle `t`. */
  read(column: number, row: number, t: number): void {
    if (t !== this.triangle) this.take(t);
    const { normals, vertices, area, a, b, c } = this;
    const px = column + 0.5 - vertices.column[a]!;
    const py = row + 0.5 - vertices.row[a]!;
    const s = (px * this.vy - py * this.vx) / area;
    const r = (this.ux * py - this.uy * px) / area;
    const q = 1 - s - r;
    const x = q * normals[3 * a]! + s * normals[3 * b]! + r * normals[3 * c]!;
    const y = q * normals[3 * a + 1]! + s * normals[3 * b + 1]! + r * normals[3 * c + 1]!;
    const z = q * normals[3 * a + 2]! + s * normals[3 * b + 2]! + r * normals[3 * c + 2]!;
    const scale = (this.behind ? -1 : 1) / (Math.sqrt(x * x + y * y + z * z) || 1);
    this.x = x * scale;
    this.y = y * scale;
    this.z = z * scale;
    this.second = s;
    this.third = r;
  }

  private take(t: number): void {
    const { column, row } = this.vertices;
    this.triangle = t;
    const a = this.triangles[3 * t]!;
    const b = this.triangles[3 * t + 1]!;
    const c = this.triangles[3 * t + 2]!;
    this.a = a;
    this.b = b;
    this.c = c;
    this.ux = column[b]! - column[a]!;
    this.uy = row[b]! - row[a]!;
    this.vx = column[c]! - column[a]!;
    this.vy = row[c]! - row[a]!;
    this.area = this.ux * this.vy - this.uy * this.vx;
    // Rows run downwards, so a triangle seen from outside turns clockwise here: its area is negative.
    this.behind = this.area > 0;
  }
}
