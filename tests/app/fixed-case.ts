import { parseMarks } from "#core/arch/marks";
import { DEFAULT_SETTINGS, emptyCase } from "#core/case/case-document";
import { measure } from "#core/jobs/measure";
import { openScan } from "#core/jobs/open-scan";
import { ScanStore } from "#core/jobs/scan-store";
import { readingsJson } from "#core/sheet/json";

export interface FixedCase {
  readonly before: { readonly name: string; readonly bytes: Uint8Array };
  readonly after: { readonly name: string; readonly bytes: Uint8Array };
  readonly marks: string;
  readonly version: string;
}

/** The text of readings.json of an invented case with the usual settings, in whatever engine this runs. */
export async function readingsOf({ before, after, marks, version }: FixedCase): Promise<string> {
  const job = { progress: () => {}, cancelled: () => false };
  const store = new ScanStore();
  const { scans } = parseMarks(marks, "marks.json");
  const handles: Record<string, string> = {};
  const blank = emptyCase();
  const timepoints = [];
  for (const [name, { name: fileName, bytes }] of [
    ["before", before],
    ["after", after],
  ] as const) {
    const chunks = async function* () {
      yield bytes;
    };
    const opened = await openScan({ name: fileName, size: bytes.length, chunks }, "mm", store, job);
    handles[name] = opened.handle;
    timepoints.push({
      ...blank.timepoints.find((timepoint) => timepoint.name === name)!,
      scan: { sha256: opened.sha256, fileName, unit: "mm" as const },
      landmarks: scans[name]?.landmarks ?? [],
    });
  }
  const document = { ...blank, invented: true, timepoints, settings: DEFAULT_SETTINGS };
  return readingsJson(measure({ document, handles, version }, store, job).readings);
}
