import type { CaseDocument } from "../case/case-document";
import type { RigidTransform } from "../geometry/rigid-transform";
import { type JobControl, partOf, UNWATCHED } from "../job-control";
import type { TriangleMesh } from "../mesh/triangle-mesh";
import type { Readings } from "../readings/readings-document";
import { buildSheet } from "./build-sheet";
import { readingsCsv } from "./csv";
import { marksJson, readingsJson } from "./json";
import { type PdfFonts, sheetPdf } from "./pdf";
import { drawSheetPictures, type SheetPictures } from "./picture/sheet-pictures";
import { comparedKinds } from "./sections/context";

/** What a record is made from. */
export interface RecordSources {
  readonly document: CaseDocument;
  readonly readings: Readings;
  /** The scans' measuring meshes; pictures need both. */
  readonly earlier: TriangleMesh | null;
  readonly later: TriangleMesh | null;
  /** The later scan's file coordinates (mm) → the earlier scan's; null: not registered. */
  readonly overlay: RigidTransform | null;
  /** The earlier scan's file coordinates (mm) → its arch frame; null: no frame. */
  readonly frame: RigidTransform | null;
  /** Signed distance (mm, NaN: none) at each vertex of the later mesh under `overlay`; null: none computed. */
  readonly distances: ArrayLike<number> | null;
  /** Clock of this PC when the sheet was asked for, ISO 8601 with seconds. */
  readonly issuedAt: string;
  readonly fonts: PdfFonts;
}

export interface RecordFile {
  readonly name: string;
  readonly bytes: Uint8Array;
}

/**
 * The whole folder of the record: sheet.pdf, readings.json, readings.csv, marks.json and the pictures as PNG. The same
 * sources give the same bytes. No file of it names a scan's file or carries its header text.
 * @throws RapheError `cancelled`; `internal` if the readings do not fit their schema
 */
export async function makeRecord(sources: RecordSources, job: JobControl = UNWATCHED): Promise<RecordFile[]> {
  const { document, readings, earlier, later, issuedAt, fonts } = sources;
  const json = readingsJson(readings);
  job.progress(0, "Drawing the pictures");
  const context = { document, readings, issuedAt };
  const pictures: SheetPictures | null =
    earlier === null || later === null
      ? null
      : drawSheetPictures(
          { ...sources, earlier, later, earlierKind: comparedKinds({ ...context, pictures: null }).from },
          partOf(job, 0, 0.8),
        );
  job.progress(0.8, "Setting the sheet");
  const { name, version } = readings.software;
  const pdf = await sheetPdf(buildSheet({ ...context, pictures }), fonts, `${name} ${version}`);
  job.progress(1);
  const text = (content: string) => new TextEncoder().encode(content);
  const drawn = [pictures?.below, pictures?.front, pictures?.distance].filter((p) => p != null);
  return [
    { name: "sheet.pdf", bytes: pdf },
    { name: "readings.json", bytes: text(json) },
    { name: "readings.csv", bytes: text(readingsCsv(readings)) },
    { name: "marks.json", bytes: text(marksJson(document, readings)) },
    ...drawn.map((p) => ({ name: `picture-${p.name}.png`, bytes: p.png })),
  ];
}
