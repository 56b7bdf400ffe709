import type { JobControl } from "../job-control";
import { BLOCK } from "../mesh/distinct-vertices";
import { PlyBody, type PlyPart } from "./ply-body";
import { type PlyHeader, type PlyScalar, SCALAR_BYTES } from "./ply-header";
import { type PlyRole, PlySurface } from "./ply-surface";
import type { ScanContent } from "./scan-content";
import { counted } from "./scan-errors";

/** Reads the body of a binary PLY in either byte order. */
export class PlyBinaryBody {
  private readonly surface: PlySurface;
  private readonly body: PlyBody;
  private readonly littleEndian: boolean;
  private readonly carry = new Uint8Array(8);
  private readonly carryView = new DataView(this.carry.buffer);
  private carried = 0;
  private trailing = 0;
  private shapedPart: PlyPart | null = null;
  private shape: Shape | null = null;

  constructor(
    name: string,
    private readonly header: PlyHeader,
    job: JobControl,
  ) {
    this.surface = new PlySurface(name, header, job);
    this.body = new PlyBody(name, header, this.surface);
    this.littleEndian = header.format === "ply-binary-little-endian";
  }

  push(bytes: Uint8Array): void {
    const { body } = this;
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    let at = 0;
    while (at < bytes.length) {
      const type = body.nextType;
      if (type === null) {
        this.trailing += bytes.length - at;
        return;
      }
      const size = SCALAR_BYTES[type];
      if (this.carried > 0) {
        const taken = Math.min(size - this.carried, bytes.length - at);
        this.carry.set(bytes.subarray(at, at + taken), this.carried);
        this.carried += taken;
        at += taken;
        if (this.carried < size) return;
        this.carried = 0;
        body.value(scalarAt(this.carryView, 0, type, this.littleEndian));
        continue;
      }
      if (body.atItemStart) {
        const after = this.wholeItems(view, at);
        if (after > at) {
          at = after;
          continue;
        }
      }
      if (at + size > bytes.length) {
        this.carry.set(bytes.subarray(at));
        this.carried = bytes.length - at;
        return;
      }
      body.value(scalarAt(view, at, type, this.littleEndian));
      at += size;
    }
  }

  finish(): ScanContent {
    this.body.checkDone();
    const { geometry, warnings } = this.surface.finish();
    if (this.trailing > 0) warnings.push(`Not read, behind the last element: ${counted(this.trailing, "byte")}.`);
    return { format: this.header.format, geometry, notes: this.header.notes, warnings };
  }

  /** Reads as many whole items as it can in one go; returns where it stopped. */
  private wholeItems(view: DataView, at: number): number {
    const part = this.body.part!;
    if (part !== this.shapedPart) {
      this.shapedPart = part;
      this.shape = shapeOf(part);
    }
    const { shape } = this;
    if (shape === null) return at;
    return shape.list === null ? this.fixedItems(view, at, part, shape) : this.triangleItems(view, at, part, shape);
  }

  private fixedItems(view: DataView, at: number, part: PlyPart, shape: Shape): number {
    const { body, surface, littleEndian } = this;
    const count = Math.min(part.count - body.item, Math.floor((view.byteLength - at) / shape.bytes));
    if (count <= 0) return at;
    const axes = shape.fields.filter(({ role }) => role === "x" || role === "y" || role === "z");
    const others = shape.fields.filter((field) => !axes.includes(field));
    const first = body.item;
    if (axes.length > 0) this.vertices(view, at, count, axes, shape.bytes);
    for (const { role, type, offset } of others) {
      for (let i = 0, from = at + offset; i < count; i++, from += shape.bytes) {
        surface.vertexValue(first + i, role, scalarAt(view, from, type, littleEndian));
      }
    }
    body.itemsDone(count);
    return at + count * shape.bytes;
  }

  /** The coordinates of whole vertices, a block at a time. */
  private vertices(view: DataView, at: number, count: number, axes: Shape["fields"], bytes: number): void {
    const { vertices } = this.surface;
    for (let done = 0; done < count; done += BLOCK) {
      const end = Math.min(count - done, BLOCK);
      const block = vertices.emptyBlock();
      for (const { role, type, offset } of axes) {
        let to = role === "x" ? 0 : role === "y" ? 1 : 2;
        let from = at + done * bytes + offset;
        if (type === "float32") {
          for (let i = 0; i < end; i++, to += 3, from += bytes) block[to] = view.getFloat32(from, this.littleEndian);
        } else {
          for (let i = 0; i < end; i++, to += 3, from += bytes) {
            block[to] = scalarAt(view, from, type, this.littleEndian);
          }
        }
      }
      vertices.addBlock(end);
    }
  }

  /** Faces that are triangles with 32-bit vertex numbers behind a count of one byte, the usual layout. */
  private triangleItems(view: DataView, at: number, part: PlyPart, shape: Shape): number {
    const { body, surface, littleEndian } = this;
    const bytes = shape.bytes + 13;
    const last = Math.min(view.byteLength, at + (part.count - body.item) * bytes) - bytes;
    const first = body.item;
    let face = first;
    let from = at + shape.list!;
    for (; from - shape.list! <= last && view.getUint8(from) === 3; from += bytes) {
      surface.triangle(
        face++,
        view.getUint32(from + 1, littleEndian),
        view.getUint32(from + 5, littleEndian),
        view.getUint32(from + 9, littleEndian),
      );
    }
    if (face > first) body.itemsDone(face - first);
    return from - shape.list!;
  }
}

interface Shape {
  /** Bytes of an item's scalars. */
  readonly bytes: number;
  /** Offset of the one list, where the item has one that can be read in one go. */
  readonly list: number | null;
  /** The scalars that mean something. */
  readonly fields: readonly { role: PlyRole; type: PlyScalar; offset: number }[];
}

/** The layout of an element's items, or null where they must be read value by value. */
function shapeOf(part: PlyPart): Shape | null {
  let bytes = 0;
  let list: number | null = null;
  const fields: { role: PlyRole; type: PlyScalar; offset: number }[] = [];
  for (const { role, type, countType } of part.steps) {
    if (countType === null) {
      if (role !== "skip") fields.push({ role, type, offset: bytes });
      bytes += SCALAR_BYTES[type];
    } else if (
      list === null &&
      role === "polygon" &&
      countType === "uint8" &&
      (type === "int32" || type === "uint32")
    ) {
      list = bytes;
    } else return null;
  }
  return { bytes, list, fields };
}

function scalarAt(view: DataView, at: number, type: PlyScalar, littleEndian: boolean): number {
  switch (type) {
    case "int8":
      return view.getInt8(at);
    case "uint8":
      return view.getUint8(at);
    case "int16":
      return view.getInt16(at, littleEndian);
    case "uint16":
      return view.getUint16(at, littleEndian);
    case "int32":
      return view.getInt32(at, littleEndian);
    case "uint32":
      return view.getUint32(at, littleEndian);
    case "float32":
      return view.getFloat32(at, littleEndian);
    case "float64":
      return view.getFloat64(at, littleEndian);
  }
}
