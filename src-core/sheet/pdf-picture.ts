import type PDFDocument from "pdfkit";

type Document = InstanceType<typeof PDFDocument>;

/** The part of a PNG file that the pictures of the sheet use: chunks of eight-bit red, green and blue, not interlaced. */
interface PngParts {
  readonly width: number;
  readonly height: number;
  /** The compressed rows. */
  readonly rows: Uint8Array;
}

const SIGNATURE = 8;
/** Length and type before a chunk's content, its checksum behind it. */
const CHUNK = { head: 8, foot: 4 };

function partsOf(png: Uint8Array): PngParts {
  const view = new DataView(png.buffer, png.byteOffset, png.byteLength);
  const content: Uint8Array[] = [];
  for (let at = SIGNATURE; at < png.length; ) {
    const length = view.getUint32(at);
    const type = String.fromCharCode(...png.subarray(at + 4, at + CHUNK.head));
    if (type === "IDAT") content.push(png.subarray(at + CHUNK.head, at + CHUNK.head + length));
    at += CHUNK.head + length + CHUNK.foot;
  }
  const rows = new Uint8Array(content.reduce((sum, { length }) => sum + length, 0));
  let end = 0;
  for (const piece of content) {
    rows.set(piece, end);
    end += piece.length;
  }
  const header = SIGNATURE + CHUNK.head;
  return { width: view.getUint32(header), height: view.getUint32(header + 4), rows };
}

/**
 * A picture as `printedPng` writes it, in the form in which pdfkit takes images that were opened before: the compressed
 * rows of a PNG are those of a PDF (ISO 32000-1, 7.4.4.4, predictor 15). pdfkit's own reader goes through a picture
 * number by number, which takes longer than setting the text.
 * @param label its name in the file, 'I1', one for each picture
 */
export function openedPicture(document: Document, png: Uint8Array, label: string): object {
  const { width, height, rows } = partsOf(png);
  const obj = document.ref({
    Type: "XObject",
    Subtype: "Image",
    BitsPerComponent: 8,
    Width: width,
    Height: height,
    Filter: "FlateDecode",
    DecodeParms: { Predictor: 15, Colors: 3, BitsPerComponent: 8, Columns: width },
    ColorSpace: "DeviceRGB",
  });
  obj.end(rows);
  return { width, height, label, obj };
}
