import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import type { Landmark } from "#core/arch/landmark";
import { parseMarks } from "#core/arch/marks";
import { type CaseDocument, emptyCase } from "#core/case/case-document";
import { emptyTimepoint, type Timepoint } from "#core/case/timepoint";
import type { RigidTransform } from "#core/geometry/rigid-transform";
import { UNWATCHED } from "#core/job-control";
import type { JobAnswer, PaintedBits } from "#core/jobs/job-list";
import { measure } from "#core/jobs/measure";
import { openScan } from "#core/jobs/open-scan";
import { ScanStore } from "#core/jobs/scan-store";
import { bytesSource } from "#core/scan/byte-source";

/** A sample pair as it lies in the project, with what its generator knows. */
export interface SampleTruth {
  readonly scans: Record<
    string,
    {
      file: string;
      archFrame: number[][];
      landmarks: {
        tooth?: number;
        place: string;
        material: [number, number, number];
        refound: [number, number, number];
      }[];
    }
  >;
  readonly widths: {
    pair: string;
    level: "cusp" | "fossa" | "gingival";
    widths: Record<string, { material: number; refound: number }>;
  }[];
  readonly motions: Record<
    string,
    {
      right: number[][];
      left: number[][];
      teeth: Record<string, number[][]>;
      halves: { openingAngle: number; roll: number; pitch: number; hinge: [number, number, number] | null };
    }
  >;
  readonly patterns: {
    level: string;
    from: string;
    to: string;
    definition: string;
    difference: number;
    verdict: string;
  }[];
}

/** A 4 × 4 matrix of the truth file as a motion. */
export const motionOf = (rows: readonly (readonly number[])[]): RigidTransform => ({
  rotation: rows.slice(0, 3).flatMap((row) => row.slice(0, 3)) as unknown as RigidTransform["rotation"],
  translation: rows.slice(0, 3).map((row) => row[3]!) as unknown as RigidTransform["translation"],
});

const folder = (set: string) => resolve(import.meta.dirname, "../../../sample-meshes", set);

export const truthOf = (set: string): SampleTruth =>
  JSON.parse(readFileSync(join(folder(set), `truth-${set}.json`), "utf8"));

export const marksOf = (set: string): Record<string, { landmarks: Landmark[] }> =>
  parseMarks(readFileSync(join(folder(set), `marks-${set}.json`), "utf8"), `marks-${set}.json`).scans;

/** Opens scans of a set and measures spans of it; scans stay open between spans. */
export class SampleCase {
  readonly #set: string;
  readonly #store = new ScanStore();
  readonly #handles: Record<string, string> = {};
  readonly #hashes: Record<string, string> = {};

  constructor(set: string) {
    this.#set = set;
  }

  async open(name: string): Promise<void> {
    const { file } = truthOf(this.#set).scans[name]!;
    await this.openBytes(name, file, readFileSync(join(folder(this.#set), file)));
  }

  /** Opens a scan that is not one of the set's files. */
  async openBytes(name: string, file: string, bytes: Uint8Array): Promise<void> {
    const source = bytesSource(file, bytes);
    const { handle, sha256 } = await openScan(source, "mm", this.#store, UNWATCHED);
    this.#handles[name] = handle;
    this.#hashes[name] = sha256;
  }

  /**
   * Measures from one timepoint to another with the given landmarks, by default as placed in the sample's file.
   * @param others further timepoints of the case, in the order of time before the two
   * @param change what else a test wants of the case
   * @param painted bits of the painted areas that it names
   */
  measure(
    from: string,
    to: string,
    landmarks: Record<string, { landmarks: Landmark[] }> = marksOf(this.#set),
    others: readonly string[] = [],
    change: (document: CaseDocument) => CaseDocument = (document) => document,
    painted: PaintedBits = {},
  ): JobAnswer<"measure"> {
    const kind = (name: string): Timepoint["kind"] =>
      name === "before" ? "before" : name === "after" ? "after" : "retention";
    const document: CaseDocument = {
      ...emptyCase(),
      invented: true,
      timepoints: [...others, from, to].map((name) => ({
        ...emptyTimepoint(name, kind(name)),
        scan: { sha256: this.#hashes[name]!, fileName: "invented", unit: "mm" },
        landmarks: landmarks[name]?.landmarks ?? [],
      })),
      span: { from, to },
    };
    return measure(
      { document: change(document), handles: this.#handles, painted, version: "test" },
      this.#store,
      UNWATCHED,
    );
  }
}
