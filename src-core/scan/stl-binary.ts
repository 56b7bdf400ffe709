import { grouped } from "../grouped";
import { checkCancelled, type JobControl } from "../job-control";
import { STEPS_PER_POLL } from "../mesh/polling";
import { VertexTable } from "../mesh/vertex-table";
import { MAX_COORDINATE, MAX_TRIANGLES } from "./limits";
import type { ScanContent, ScanReader } from "./scan-content";
import { counted, scanError } from "./scan-errors";
import { printableText } from "./text";

/** Bytes of header text and triangle count before the first triangle. */
export const STL_HEADER_BYTES = 84;
/** Bytes of one triangle: normal, three corners, attribute. */
export const STL_TRIANGLE_BYTES = 50;

/** How many triangles a binary STL holds, judged by its count and its size. */
export interface StlTriangles {
  /** Triangles that must be there. */
  readonly certain: number;
  /** Triangles for which there is room; those beyond `certain` count only if the first of them looks like one. */
  readonly room: number;
  /** Bytes after the last triangle for which there is room. */
  readonly rest: number;
  readonly warning: string | null;
}

/**
 * Weighs the count in the header against the size of the file. A count that is zero or larger than any scan is a
 * placeholder and the size decides; a count for which the file is too short means that its end is missing.
 * @throws RapheError `truncated`, `no-triangles`, `too-large`
 */
export function stlTriangles(name: string, count: number, size: number): StlTriangles {
  const room = Math.floor((size - STL_HEADER_BYTES) / STL_TRIANGLE_BYTES);
  const rest = (size - STL_HEADER_BYTES) % STL_TRIANGLE_BYTES;
  const placeholder = count === 0 || count > MAX_TRIANGLES;
  if (count > MAX_TRIANGLES && count <= room) throw tooMany(name, count);
  if (count <= room && !placeholder) return { certain: count, room, rest, warning: null };
  if (count === 0 && size === STL_HEADER_BYTES) throw scanError("no-triangles", name, "the file counts no triangles");
  if (placeholder && rest === 0 && room > 0) {
    if (room > MAX_TRIANGLES) throw tooMany(name, room);
    const warning = `The header counts ${counted(count, "triangle")}; the file's size tells ${grouped(room)}, which were read.`;
    return { certain: room, room, rest, warning };
  }
  throw scanError(
    "truncated",
    name,
    count === 0
      ? "the file ends within a triangle"
      : `the header counts ${counted(count, "triangle")}, but the file ends after ${grouped(room)}`,
    `byte ${grouped(size)}`,
  );
}

const tooMany = (name: string, count: number) =>
  scanError("too-large", name, `${grouped(count)} triangles; at most ${grouped(MAX_TRIANGLES)} are read`);

/** The bits of MAX_COORDINATE in single precision; the bits of larger, infinite and not-a-number values lie above. */
const MAX_COORDINATE_BITS = new Uint32Array(Float32Array.of(MAX_COORDINATE).buffer)[0]!;

/**
 * Reads a binary STL. Normals are not read: they follow from the corners. Attribute bytes are not read: there is no
 * standard for what they mean.
 */
export class StlBinaryReader implements ScanReader {
  private readonly header = new Uint8Array(STL_HEADER_BYTES);
  private headerFilled = 0;
  private plan: StlTriangles | null = null;
  private table = new VertexTable("single", 0);
  private corners = new Uint32Array(0);
  private readonly carry = new Uint8Array(STL_TRIANGLE_BYTES);
  private readonly carryView = new DataView(this.carry.buffer);
  private carried = 0;
  private read = 0;
  /** Set where what follows the counted triangles does not look like triangles. */
  private ended = false;
  private readonly warnings: string[] = [];

  constructor(
    private readonly name: string,
    private readonly size: number,
    private readonly job: JobControl,
  ) {}

  push(bytes: Uint8Array): void {
    let at = 0;
    if (this.headerFilled < STL_HEADER_BYTES) {
      at = Math.min(STL_HEADER_BYTES - this.headerFilled, bytes.length);
      this.header.set(bytes.subarray(0, at), this.headerFilled);
      this.headerFilled += at;
      if (this.headerFilled < STL_HEADER_BYTES) return;
      this.begin();
    }
    if (this.carried > 0) {
      const taken = Math.min(STL_TRIANGLE_BYTES - this.carried, bytes.length - at);
      this.carry.set(bytes.subarray(at, at + taken), this.carried);
      this.carried += taken;
      at += taken;
      if (this.carried < STL_TRIANGLE_BYTES) return;
      this.carried = 0;
      this.triangles(this.carryView, 0, 1);
    }
    const whole = Math.floor((bytes.length - at) / STL_TRIANGLE_BYTES);
    if (whole > 0)
      this.triangles(new DataView(bytes.buffer, bytes.byteOffset + at, whole * STL_TRIANGLE_BYTES), 0, whole);
    at += whole * STL_TRIANGLE_BYTES;
    this.carried = bytes.length - at;
    this.carry.set(bytes.subarray(at));
  }

  finish(): ScanContent {
    const { plan, name } = this;
    if (plan === null) throw scanError("truncated", name, "the file ends within the STL header");
    if (!this.ended && this.read > plan.certain) {
      if (plan.rest !== 0) throw scanError("truncated", name, "the file ends within a triangle");
      this.warnings.push(
        `The header counts ${counted(plan.certain, "triangle")}; the file holds ${grouped(this.read)}, which were read.`,
      );
    } else {
      const trailing = (plan.room - plan.certain) * STL_TRIANGLE_BYTES + plan.rest;
      if (trailing > 0) this.warnings.push(`Not read, behind the last triangle: ${counted(trailing, "byte")}.`);
    }
    const text = printableText(this.header.subarray(0, 80));
    return {
      format: "stl-binary",
      geometry: {
        vertices: this.table.points(),
        triangles: this.corners.subarray(0, 3 * this.read),
        colours: null,
        verticesInFile: 3 * this.read,
        verticesDistinct: true,
      },
      notes: text === "" ? [] : [text],
      warnings: this.warnings,
    };
  }

  private begin(): void {
    const count = new DataView(this.header.buffer).getUint32(80, true);
    const plan = stlTriangles(this.name, count, this.size);
    if (plan.warning !== null) this.warnings.push(plan.warning);
    // A surface has about half as many vertices as triangles.
    this.table = new VertexTable("single", Math.ceil(plan.certain * 0.52));
    this.corners = new Uint32Array(3 * plan.certain);
    this.plan = plan;
  }

  private triangles(view: DataView, offset: number, count: number): void {
    let at = offset;
    for (let left = count; left > 0 && !this.ended; ) {
      const counted = this.plan!.certain - this.read;
      if (counted <= 0 && !this.goesOn(view, at)) return;
      const batch = Math.min(left, counted > 0 ? counted : left, STEPS_PER_POLL - (this.read % STEPS_PER_POLL));
      this.batch(view, at, batch);
      if (this.read % STEPS_PER_POLL === 0) checkCancelled(this.job);
      at += batch * STL_TRIANGLE_BYTES;
      left -= batch;
    }
  }

  private batch(view: DataView, offset: number, count: number): void {
    const { table, corners } = this;
    let out = 3 * this.read;
    for (let at = offset; at < offset + count * STL_TRIANGLE_BYTES; at += STL_TRIANGLE_BYTES) {
      for (let corner = at + 12; corner < at + 48; corner += 12) {
        const x = view.getUint32(corner, true);
        const y = view.getUint32(corner + 4, true);
        const z = view.getUint32(corner + 8, true);
        if (
          (x & 0x7fffffff) >= MAX_COORDINATE_BITS ||
          (y & 0x7fffffff) >= MAX_COORDINATE_BITS ||
          (z & 0x7fffffff) >= MAX_COORDINATE_BITS
        ) {
          throw this.notALength(Math.floor(out / 3), view, corner);
        }
        corners[out++] = table.numberOfSingle(x, y, z);
      }
    }
    this.read += count;
  }

  /** Decides at the first triangle beyond the header's count whether triangles go on, or something else follows. */
  private goesOn(view: DataView, at: number): boolean {
    if (this.read > this.plan!.certain) return true;
    this.ended = !looksLikeTriangle(view, at, this.table.points());
    if (this.ended) return false;
    if (this.plan!.room > MAX_TRIANGLES) throw tooMany(this.name, this.plan!.room);
    const grown = new Uint32Array(3 * this.plan!.room);
    grown.set(this.corners);
    this.corners = grown;
    return true;
  }

  private notALength(triangle: number, view: DataView, corner: number) {
    const values = [0, 4, 8].map((byte) => view.getFloat32(corner + byte, true));
    const where = `triangle ${grouped(triangle + 1)} of the file`;
    return values.every(Number.isFinite)
      ? scanError("malformed", this.name, `a coordinate (${values.join(", ")}) that no scan can have`, where)
      : scanError("not-finite", this.name, `a coordinate that is not a number (${values.join(", ")})`, where);
  }
}

/** True where a record's corners are different points within the box around `points`, widened by its own size. */
function looksLikeTriangle(view: DataView, at: number, points: Float32Array | Float64Array): boolean {
  const corners = new Set<string>();
  for (let i = 0; i < 3; i++) {
    const corner: number[] = [];
    for (let axis = 0; axis < 3; axis++) {
      let low = Number.POSITIVE_INFINITY;
      let high = Number.NEGATIVE_INFINITY;
      for (let k = axis; k < points.length; k += 3) {
        low = Math.min(low, points[k]!);
        high = Math.max(high, points[k]!);
      }
      const value = view.getFloat32(at + 12 + 12 * i + 4 * axis, true);
      // Written so that not-a-number fails.
      if (!(value >= low - (high - low) && value <= high + (high - low))) return false;
      corner.push(value);
    }
    corners.add(corner.join());
  }
  return corners.size === 3;
}
