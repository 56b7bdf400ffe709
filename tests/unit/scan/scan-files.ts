import { UNWATCHED } from "#core/job-control";
import { bytesSource } from "#core/scan/byte-source";
import { readScan } from "#core/scan/read-scan";
import type { ScanContent } from "#core/scan/scan-content";

/** Small scan files that the tests make themselves. */

/** A triangle as its three corners' coordinates in a row. */
export type Soup = readonly (readonly number[])[];

/** Two triangles that share an edge: a square of 40 mm, bent along its diagonal. */
export const FOLDED_SQUARE: Soup = [
  [0, 0, 0, 40, 0, 0, 40, 40, 5],
  [0, 0, 0, 40, 40, 5, 0, 40, 0],
];

export const text = (content: string): Uint8Array => new TextEncoder().encode(content);

export function joined(...parts: readonly Uint8Array[]): Uint8Array {
  const bytes = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
}

export interface StlParts {
  readonly header?: string;
  readonly count?: number;
  readonly normal?: readonly [number, number, number];
  readonly attribute?: number;
}

/** A binary STL; what is not given is as the format wants it. */
export function binaryStl(soup: Soup, parts: StlParts = {}): Uint8Array {
  const bytes = new Uint8Array(84 + 50 * soup.length);
  const view = new DataView(bytes.buffer);
  bytes.set(text((parts.header ?? "invented").slice(0, 80)));
  view.setUint32(80, parts.count ?? soup.length, true);
  soup.forEach((triangle, t) => {
    [...(parts.normal ?? [0, 0, 1]), ...triangle].forEach((value, i) => {
      view.setFloat32(84 + 50 * t + 4 * i, value, true);
    });
    view.setUint16(84 + 50 * t + 48, parts.attribute ?? 0, true);
  });
  return bytes;
}

/** The lines of a text STL's facets as most programs write them. */
export function facetLines(soup: Soup): string[] {
  return soup.flatMap((t) => [
    "  facet normal 0 0 1",
    "    outer loop",
    `      vertex ${t[0]} ${t[1]} ${t[2]}`,
    `      vertex ${t[3]} ${t[4]} ${t[5]}`,
    `      vertex ${t[6]} ${t[7]} ${t[8]}`,
    "    endloop",
    "  endfacet",
  ]);
}

/** A text STL as most programs write it. */
export const asciiStl = (soup: Soup, name = "invented"): string =>
  [`solid ${name}`, ...facetLines(soup), `endsolid ${name}`, ""].join("\n");

type Scalar = "char" | "uchar" | "short" | "ushort" | "int" | "uint" | "float" | "double";
const BYTES: Readonly<Record<Scalar, number>> = {
  char: 1,
  uchar: 1,
  short: 2,
  ushort: 2,
  int: 4,
  uint: 4,
  float: 4,
  double: 8,
};

/** Values one behind the other, each of its type, as a binary PLY holds them. */
export function packed(values: readonly (readonly [Scalar, ...number[]])[], littleEndian: boolean): Uint8Array {
  const size = values.reduce((sum, [type, ...list]) => sum + BYTES[type] * list.length, 0);
  const view = new DataView(new ArrayBuffer(size));
  let at = 0;
  for (const [type, ...list] of values) {
    for (const value of list) {
      switch (type) {
        case "char":
          view.setInt8(at, value);
          break;
        case "uchar":
          view.setUint8(at, value);
          break;
        case "short":
          view.setInt16(at, value, littleEndian);
          break;
        case "ushort":
          view.setUint16(at, value, littleEndian);
          break;
        case "int":
          view.setInt32(at, value, littleEndian);
          break;
        case "uint":
          view.setUint32(at, value, littleEndian);
          break;
        case "float":
          view.setFloat32(at, value, littleEndian);
          break;
        case "double":
          view.setFloat64(at, value, littleEndian);
      }
      at += BYTES[type];
    }
  }
  return new Uint8Array(view.buffer);
}

/** Reads bytes as a scan, in pieces of `chunkSize`. */
export const read = (bytes: Uint8Array | string, chunkSize = 65_536): Promise<ScanContent> =>
  readScan(bytesSource("scan", typeof bytes === "string" ? text(bytes) : bytes, chunkSize), {}, UNWATCHED);

/** The triangles of what was read, as corners in a row. */
export function soupOf({ geometry: { vertices, triangles } }: ScanContent): number[][] {
  const soup: number[][] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    soup.push(
      [0, 1, 2].flatMap((i) => Array.from(vertices.subarray(3 * triangles[t + i]!, 3 * triangles[t + i]! + 3))),
    );
  }
  return soup;
}
