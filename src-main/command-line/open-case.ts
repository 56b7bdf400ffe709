import { createHash } from "node:crypto";
import { readFile } from "node:fs/promises";
import { basename, dirname, resolve } from "node:path";
import { type Marks, parseMarks } from "#core/arch/marks";
import { CaseDescription, parseCaseDescription } from "#core/case/case-description";
import type { CaseDocument } from "#core/case/case-document";
import {
  type DescribedScan,
  describedCase,
  describedFiles,
  type OpenedScan,
  sameName,
} from "#core/case/described-case";
import { errorParts, RapheError, sentence } from "#core/errors";
import { type JobControl, partOf } from "#core/job-control";
import type { PaintedBits } from "#core/jobs/job-list";
import { openScan } from "#core/jobs/open-scan";
import type { ScanStore } from "#core/jobs/scan-store";
import type { TwoScans } from "./arguments";
import { fileSource } from "./file-source";

/** A case whose files were opened. */
export interface OpenedCase {
  readonly document: CaseDocument;
  /** Of every scan that could be opened, by timepoint; lower arches as `lowerScanName` says. */
  readonly handles: Readonly<Record<string, string>>;
  /** The bits of every painted area, by their hash. */
  readonly painted: PaintedBits;
  /** What could not be opened or is in doubt, each in one sentence. */
  readonly failures: readonly string[];
}

/**
 * Opens a case file and everything it names. A scan that cannot be read is named in `failures`; its timepoint stays
 * without one.
 * @throws RapheError `case-malformed`, `marks-malformed`, `marks-missing-scan`, `malformed` (a painted area of another
 *   scan), `file-missing`, `not-readable`
 */
export async function openCaseFile(path: string, store: ScanStore, job: JobControl): Promise<OpenedCase> {
  const description = parseCaseDescription(await textOf(path, "case file"), path);
  const folder = dirname(resolve(path));
  const marks = new Map<string, Marks>();
  for (const one of describedFiles(description).marks) {
    marks.set(one, parseMarks(await textOf(resolve(folder, one), "landmark file", one), one));
  }
  const sayUnit = ({ index }: DescribedScan, unit: string) =>
    `write "unit": "${unit}" beside the scan at timepoints → ${index} in ${path}`;
  return opened({ description, marks, folder, name: path, sayUnit }, store, job);
}

/**
 * Opens the two scans of the short form as a case of two timepoints.
 * @throws RapheError as `openCaseFile`
 */
export async function openTwoScans(given: TwoScans, store: ScanStore, job: JobControl): Promise<OpenedCase> {
  const { before, after, from, to, landmarks, units } = given;
  const { scans } = parseMarks(await textOf(landmarks, "landmark file"), landmarks);
  const wanted = Object.entries(scans).filter(([name]) => [from, to].some((one) => sameName(name, one)));
  if (wanted.length === 0) {
    const names = Object.keys(scans);
    throw new RapheError({
      code: "marks-missing-scan",
      subject: landmarks,
      problem: `it has landmarks for ${names.length === 0 ? "no scan" : names.join(", ")}, but not for ${from} or ${to}`,
      remedy: "Name the timepoints with --from and --to, or correct the file",
    });
  }
  const description = CaseDescription.parse({
    version: 1,
    invented: given.invented,
    identity: { pseudonym: given.pseudonym },
    marks: landmarks,
    timepoints: [
      { name: from, date: given.fromDate, scan: before, unit: units[from] },
      { name: to, date: given.toDate, scan: after, unit: units[to] },
    ],
  });
  const marks = new Map([[landmarks, { version: 1 as const, scans: Object.fromEntries(wanted) }]]);
  const sayUnit = ({ of }: DescribedScan, unit: string) => `run it again with --unit ${of}=${unit}`;
  return opened({ description, marks, folder: ".", name: landmarks, sayUnit }, store, job);
}

interface Described {
  readonly description: CaseDescription;
  readonly marks: ReadonlyMap<string, Marks>;
  /** What its paths are relative to. */
  readonly folder: string;
  readonly name: string;
  /** How the user says in which unit a scan's numbers are. */
  sayUnit(scan: DescribedScan, unit: string): string;
}

async function opened(given: Described, store: ScanStore, job: JobControl): Promise<OpenedCase> {
  const { description, marks, folder, name, sayUnit } = given;
  const files = describedFiles(description);
  const scans = new Map<string, OpenedScan | null>();
  const kept = new Map<string, string>();
  const handles: Record<string, string> = {};
  const failures: string[] = [];
  for (const [i, scan] of files.scans.entries()) {
    const { of, path, unit, unitSaid } = scan;
    const key = `${unit} ${path}`;
    const known = kept.get(key);
    if (known !== undefined) {
      handles[of] = known;
      continue;
    }
    const share = i / files.scans.length;
    const place = folder === "." ? path : resolve(folder, path);
    try {
      job.progress(share, `Reading ${path}`);
      const { handle, sha256, report } = await openScan(
        await fileSource(place),
        unit,
        store,
        partOf(job, share, share + 1 / files.scans.length),
      );
      handles[of] = handle;
      kept.set(key, handle);
      scans.set(path, { sha256, fileName: basename(path), triangles: report.triangles.inFile });
      const { unitQuestion: question } = report;
      if (question !== null && !unitSaid) {
        failures.push(`${path}: ${question.text} If so, ${sayUnit(scan, question.proposals[0]?.unit ?? "m")}`);
      }
    } catch (thrown) {
      failures.push(sentence(errorParts(thrown, path)));
      scans.set(path, null);
    }
  }
  const painted = new Map<string, Uint8Array>();
  for (const path of files.painted) {
    painted.set(path, Uint8Array.from(await contentOf(resolve(folder, path), "painted area", path)));
  }
  const hashOf = (bits: Uint8Array) => createHash("sha256").update(bits).digest("hex");
  return {
    document: describedCase(description, { scans, marks, painted }, name),
    handles,
    painted: Object.fromEntries([...painted.values()].map((bits) => [hashOf(bits), bits])),
    failures,
  };
}

const textOf = async (path: string, what: string, name = path): Promise<string> =>
  (await contentOf(path, what, name)).toString("utf8");

async function contentOf(path: string, what: string, name: string): Promise<Buffer> {
  try {
    return await readFile(path);
  } catch (thrown) {
    const code = (thrown as NodeJS.ErrnoException).code ?? "unknown reason";
    throw new RapheError({
      code: code === "ENOENT" ? "file-missing" : code === "EISDIR" ? "not-a-file" : "not-readable",
      subject: name,
      problem: code === "ENOENT" ? `there is no such ${what}` : `the ${what} cannot be read (${code})`,
      remedy: "Check its path",
    });
  }
}
