import { MAX_COORDINATE, MAX_TRIANGLES } from "./limits";
import { scanError } from "./scan-errors";
import { STL_HEADER_BYTES, STL_TRIANGLE_BYTES } from "./stl-binary";

/** How many bytes from the start tell what a file is. */
export const HEAD_BYTES = 16_384;

/** The kind of scan file, by content. */
export type ScanKind = "stl-binary" | "stl-ascii" | "ply" | "obj";

/** What other files begin with, and what to call them. */
const SIGNATURES: readonly (readonly [bytes: readonly number[], at: number, what: string])[] = [
  [[0x50, 0x4b, 0x03, 0x04], 0, "a zip archive: unpack it first"],
  [[0x50, 0x4b, 0x05, 0x06], 0, "an empty zip archive"],
  [[0x1f, 0x8b], 0, "a gzip archive: unpack it first"],
  [[0x37, 0x7a, 0xbc, 0xaf, 0x27, 0x1c], 0, "a 7z archive: unpack it first"],
  [[0x52, 0x61, 0x72, 0x21, 0x1a, 0x07], 0, "a rar archive: unpack it first"],
  [[0x25, 0x50, 0x44, 0x46], 0, "a PDF document"],
  [[0x44, 0x49, 0x43, 0x4d], 128, "a DICOM file"],
  [[0xff, 0xd8, 0xff], 0, "a JPEG picture"],
  [[0x89, 0x50, 0x4e, 0x47], 0, "a PNG picture"],
  [[0x47, 0x49, 0x46, 0x38], 0, "a GIF picture"],
  [[0x49, 0x49, 0x2a, 0x00], 0, "a TIFF picture"],
  [[0x4d, 0x4d, 0x00, 0x2a], 0, "a TIFF picture"],
  [[0x67, 0x6c, 0x54, 0x46], 0, "a glTF scene"],
  [[0xff, 0xfe], 0, "text in UTF-16"],
  [[0xfe, 0xff], 0, "text in UTF-16"],
  [[0x7f, 0x45, 0x4c, 0x46], 0, "a program"],
  [[0x4d, 0x5a], 0, "a program"],
];

/** What other text files begin with, and what to call them. */
const TEXT_SIGNATURES: readonly (readonly [pattern: RegExp, what: string])[] = [
  [/^\s*<\?xml|^\s*<[a-z!]/i, "an XML or HTML document"],
  [/^\s*[{[]/, "JSON text"],
  [/^C?OFF\b/, "an OFF surface"],
  [/^# vtk DataFile/, "a VTK data set"],
];

/**
 * Tells the format from the first bytes and the size, never from the file's name.
 * @param head the first bytes, `HEAD_BYTES` of them or the whole file
 * @throws RapheError `unknown-format`, saying what the file seems to be; `truncated`
 */
export function recognise(name: string, head: Uint8Array, size: number): ScanKind {
  const view = new DataView(head.buffer, head.byteOffset, head.byteLength);
  const triangles = head.length >= STL_HEADER_BYTES ? view.getUint32(80, true) : 0;
  // No text can meet this by chance: four letters are a count of 150 million or more.
  if (triangles > 0 && STL_HEADER_BYTES + triangles * STL_TRIANGLE_BYTES === size) return "stl-binary";
  for (const [bytes, at, what] of SIGNATURES) {
    if (bytes.every((byte, i) => head[at + i] === byte)) throw scanError("unknown-format", name, `this is ${what}`);
  }
  const start = text(head.subarray(0, 512)).replace(/^\u00ef\u00bb\u00bf/, "");
  if (/^ply\s/i.test(start)) return "ply";
  const isText = head.every(isTextByte);
  if (isText && /^\s*(solid|facet)\b/i.test(start)) return "stl-ascii";
  if (isText) {
    for (const [pattern, what] of TEXT_SIGNATURES) {
      if (pattern.test(start)) throw scanError("unknown-format", name, `this is ${what}`);
    }
    if (/^[ \t]*v[ \t]+[-+.\d]/m.test(text(head))) return "obj";
    throw scanError("unknown-format", name, "this is text, not a surface");
  }
  if (head.length >= STL_HEADER_BYTES && beginsLikeTriangles(view, triangles)) return "stl-binary";
  throw scanError("unknown-format", name, "this is data of an unknown kind");
}

/** Each byte as one letter. */
function text(bytes: Uint8Array): string {
  let letters = "";
  for (const byte of bytes) letters += String.fromCharCode(byte);
  return letters;
}

/** False for bytes that no text holds: control characters other than blanks and line ends. */
const isTextByte = (byte: number): boolean => byte >= 0x20 || (byte >= 9 && byte <= 13) || byte === 0x1a;

/** True where the first record after an STL header holds three different corners of ordinary size. */
function beginsLikeTriangles(view: DataView, triangles: number): boolean {
  if (view.byteLength < STL_HEADER_BYTES + STL_TRIANGLE_BYTES) return triangles <= MAX_TRIANGLES;
  const corners = [0, 1, 2].map((corner) =>
    [0, 1, 2].map((axis) => view.getFloat32(96 + 12 * corner + 4 * axis, true)),
  );
  const ordinary = corners.flat().every((c) => c === 0 || (Math.abs(c) < MAX_COORDINATE && Math.abs(c) > 1e-12));
  return ordinary && new Set(corners.map((corner) => corner.join())).size > 1;
}
