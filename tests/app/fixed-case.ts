// A case computed by the core alone: no Electron, no worker, no page of the app. It is bundled for another browser's
// engine, where it must give the same readings to the last digit.
import { type Marks, parseMarks } from "#core/arch/marks";
import { parseCaseDescription } from "#core/case/case-description";
import { describedCase, describedFiles, type OpenedScan } from "#core/case/described-case";
import { measure } from "#core/jobs/measure";
import { openScan } from "#core/jobs/open-scan";
import { ScanStore } from "#core/jobs/scan-store";
import { bytesSource } from "#core/scan/byte-source";
import { readingsJson } from "#core/sheet/json";

export interface FixedCase {
  /** Text of the case.json. */
  readonly description: string;
  /** The bytes of a file that it names. */
  bytesOf(path: string): Promise<Uint8Array>;
  readonly version: string;
}

/** The text of readings.json of a case's first two scans, in whatever engine this runs. */
export async function readingsOf({ description: text, bytesOf, version }: FixedCase): Promise<string> {
  const job = { progress: () => {}, cancelled: () => false };
  const store = new ScanStore();
  const description = parseCaseDescription(text, "case.json");
  const files = describedFiles(description);
  const handles: Record<string, string> = {};
  const scans = new Map<string, OpenedScan>();
  for (const { of, path, unit } of files.scans) {
    const opened = await openScan(bytesSource(path, await bytesOf(path)), unit, store, job);
    handles[of] = opened.handle;
    scans.set(path, { sha256: opened.sha256, fileName: path, triangles: opened.report.triangles.inFile });
  }
  const marks = new Map<string, Marks>();
  for (const path of files.marks) marks.set(path, parseMarks(new TextDecoder().decode(await bytesOf(path)), path));
  const document = describedCase(description, { scans, marks, painted: new Map() }, "case.json");
  return readingsJson(measure({ document, handles, painted: {}, version }, store, job).readings);
}
