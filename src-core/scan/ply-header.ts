import { grouped } from "../grouped";
import { MAX_HEADER_BYTES, MAX_NOTES } from "./limits";
import type { ScanFormat } from "./scan-content";
import { scanError } from "./scan-errors";
import { printableText } from "./text";

/** Scalar types under both of their names. */
const SCALARS = {
  char: "int8",
  int8: "int8",
  uchar: "uint8",
  uint8: "uint8",
  short: "int16",
  int16: "int16",
  ushort: "uint16",
  uint16: "uint16",
  int: "int32",
  int32: "int32",
  uint: "uint32",
  uint32: "uint32",
  float: "float32",
  float32: "float32",
  double: "float64",
  float64: "float64",
} as const;
export type PlyScalar = (typeof SCALARS)[keyof typeof SCALARS];

/** Bytes of each scalar type. */
export const SCALAR_BYTES: Readonly<Record<PlyScalar, number>> = {
  int8: 1,
  uint8: 1,
  int16: 2,
  uint16: 2,
  int32: 4,
  uint32: 4,
  float32: 4,
  float64: 8,
};

export interface PlyProperty {
  readonly name: string;
  readonly type: PlyScalar;
  /** Type of the number of entries where the property is a list, else null. */
  readonly countType: PlyScalar | null;
}

export interface PlyElement {
  readonly name: string;
  readonly count: number;
  readonly properties: readonly PlyProperty[];
}

export interface PlyHeader {
  readonly format: Extract<ScanFormat, `ply-${string}`>;
  readonly elements: readonly PlyElement[];
  /** Texts of comment and obj_info lines. */
  readonly notes: readonly string[];
}

const FORMATS: Readonly<Record<string, PlyHeader["format"]>> = {
  ascii: "ply-ascii",
  binary_little_endian: "ply-binary-little-endian",
  binary_big_endian: "ply-binary-big-endian",
};

const LF = 10;
const CR = 13;

/** Gathers the header of a PLY from pieces of any size: LF, CR LF or CR, as its first line ends. */
export class PlyHeaderFeed {
  /** Bytes of the header, its last line end included. */
  bytes = 0;
  private readonly lines: string[] = [];
  private line: number[] = [];
  /** Line end of the first line; a CR there waits for the next byte to tell CR from CR LF. */
  private lineEnd: "unknown" | "cr-seen" | "lf" | "cr" = "unknown";
  private done = false;

  constructor(private readonly name: string) {}

  /** Takes bytes up to the end of the header; returns how many it took. `header()` is ready once fewer were taken. */
  push(bytes: Uint8Array): number {
    for (let at = 0; at < bytes.length; at++) {
      if (this.done) return at;
      this.byte(bytes[at]!);
      if (++this.bytes > MAX_HEADER_BYTES) {
        throw scanError("malformed", this.name, "the PLY header has no end within its first MiB");
      }
    }
    return bytes.length;
  }

  get complete(): boolean {
    return this.done;
  }

  /** @throws RapheError `malformed`, `truncated` where the header has no end */
  header(): PlyHeader {
    if (!this.done) throw scanError("truncated", this.name, "the file ends within the PLY header");
    return parsePlyHeader(this.name, this.lines);
  }

  private byte(byte: number): void {
    if (this.lineEnd === "cr-seen") {
      this.lineEnd = byte === LF ? "lf" : "cr";
      if (byte === LF) return;
    }
    const ends = this.lineEnd === "unknown" ? byte === LF || byte === CR : byte === (this.lineEnd === "cr" ? CR : LF);
    if (!ends) {
      this.line.push(byte);
      return;
    }
    if (this.lineEnd === "unknown") this.lineEnd = byte === LF ? "lf" : "cr-seen";
    const text = printableText(Uint8Array.from(this.line));
    this.line = [];
    this.lines.push(text);
    this.done = text === "end_header";
  }
}

/**
 * Reads the lines of a PLY 1.0 header (G. Turk, The PLY Polygon File Format, 1994).
 * @throws RapheError `malformed`
 */
export function parsePlyHeader(name: string, lines: readonly string[]): PlyHeader {
  const wrong = (problem: string, line: number) => scanError("malformed", name, problem, `header line ${line + 1}`);
  let format: PlyHeader["format"] | null = null;
  const notes: string[] = [];
  const elements: { name: string; count: number; properties: PlyProperty[] }[] = [];
  lines.forEach((line, number) => {
    const words = line.split(" ");
    switch (words[0]) {
      case "format": {
        format = FORMATS[words[1] ?? ""] ?? null;
        if (format === null || words[2] !== "1.0")
          throw wrong(`a PLY format that is not known: '${line.slice(0, 80)}'`, number);
        break;
      }
      case "comment":
      case "obj_info": {
        const text = words.slice(1).join(" ");
        if (text !== "" && notes.length < MAX_NOTES) notes.push(text);
        break;
      }
      case "element": {
        const count = words[2] ?? "";
        if (words.length !== 3 || !/^\d{1,15}$/.test(count)) throw wrong("an element without a count", number);
        elements.push({ name: words[1]!, count: Number(count), properties: [] });
        break;
      }
      case "property": {
        const element = elements.at(-1);
        if (element === undefined) throw wrong("a property before the first element", number);
        element.properties.push(property(words, (problem) => wrong(problem, number)));
        break;
      }
      default:
    }
  });
  if (format === null) throw scanError("malformed", name, "the PLY header names no format");
  return { format, elements, notes };
}

function property(words: readonly string[], wrong: (problem: string) => Error): PlyProperty {
  const scalar = (word: string | undefined): PlyScalar => {
    if (word === undefined || !Object.hasOwn(SCALARS, word)) throw wrong(`a property of unknown type '${word ?? ""}'`);
    return SCALARS[word as keyof typeof SCALARS];
  };
  const isList = words[1] === "list";
  const name = words[isList ? 4 : 2];
  if (name === undefined) throw wrong("a property without a name");
  return isList
    ? { name, type: scalar(words[3]), countType: scalar(words[2]) }
    : { name, type: scalar(words[1]), countType: null };
}

/** The least bytes that an item of an element takes: lists empty, words of one letter and a blank. */
export function leastItemBytes(header: PlyHeader, element: PlyElement): number {
  let bytes = 0;
  for (const { type, countType } of element.properties) {
    bytes += header.format === "ply-ascii" ? 2 : SCALAR_BYTES[countType ?? type];
  }
  return bytes;
}

/**
 * Holds the header's counts against the size of the file, before anything is reserved for them.
 * @throws RapheError `truncated`
 */
export function checkCounts(name: string, header: PlyHeader, bodyBytes: number): void {
  // The last word of a text needs no blank behind it.
  let left = bodyBytes + (header.format === "ply-ascii" ? 1 : 0);
  for (const element of header.elements) {
    left -= element.count * leastItemBytes(header, element);
    if (left >= 0) continue;
    throw scanError(
      "truncated",
      name,
      `the header announces ${grouped(element.count)} of '${element.name.slice(0, 40)}', more than a file of this size can hold`,
    );
  }
}
