import { mkdir, readdir, readFile, rename, rm, writeFile } from "node:fs/promises";
import { basename, join, resolve } from "node:path";
import { type Marks, parseMarks } from "#core/arch/marks";
import { type CaseDocument, DEFAULT_SETTINGS, emptyCase } from "#core/case/case-document";
import { emptyTimepoint, type Timepoint } from "#core/case/timepoint";
import { errorParts, RapheError, sentence } from "#core/errors";
import { partOf } from "#core/job-control";
import { makeSheet } from "#core/jobs/make-sheet";
import { measure } from "#core/jobs/measure";
import { openScan } from "#core/jobs/open-scan";
import { ScanStore } from "#core/jobs/scan-store";
import type { PdfFonts } from "#core/sheet/pdf";
import type { MeasureCommand } from "./arguments";
import { fileSource } from "./file-source";
import { progressLine } from "./progress-line";
import { summary } from "./summary";

/**
 * `raphe measure`: two scans and their landmarks in, a folder with the record out. A scan that cannot be read is named
 * and the readings on the other one are still made.
 * @param packageFolder where the fonts are found
 * @returns exit code 0, 1 or 2, as the usage says
 * @throws RapheError where nothing can be measured or written
 */
export async function measureCommand(command: MeasureCommand, packageFolder: string, version: string): Promise<number> {
  const out = await emptyFolder(command.out);
  const marks = await readMarks(command.landmarks);
  checkNames(marks, command);
  const progress = progressLine(process.stderr);
  const store = new ScanStore();
  const handles: Record<string, string> = {};
  const timepoints: Timepoint[] = [];
  const failures: string[] = [];
  const scans = [
    { name: command.from, path: command.before, date: command.fromDate, share: 0 },
    { name: command.to, path: command.after, date: command.toDate, share: 0.25 },
  ];
  for (const { name, path, date, share } of scans) {
    const unit = command.units[name] ?? "mm";
    const timepoint: Timepoint = {
      ...emptyTimepoint(name, kindOf(name, scans[0]!.name), date),
      landmarks: landmarksOf(marks, name),
    };
    try {
      progress.progress(share, `Reading ${path}`);
      const opened = await openScan(await fileSource(path), unit, store, partOf(progress, share, share + 0.25));
      handles[name] = opened.handle;
      const question = opened.report.unitQuestion;
      if (question !== null && command.units[name] === undefined) {
        const likely = question.proposals[0]?.unit ?? "m";
        failures.push(`${path}: ${question.text} If so, run it again with --unit ${name}=${likely}`);
      }
      timepoints.push({ ...timepoint, scan: { sha256: opened.sha256, fileName: basename(path), unit } });
    } catch (thrown) {
      failures.push(sentence(errorParts(thrown, path)));
      timepoints.push(timepoint);
    }
  }
  if (Object.keys(handles).length === 0) {
    progress.done();
    for (const failure of failures) process.stderr.write(`raphe: ${failure}\n`);
    return 2;
  }
  const document: CaseDocument = {
    ...emptyCase(),
    invented: command.invented,
    identity: { ...emptyCase().identity, pseudonym: command.pseudonym },
    timepoints,
    span: { from: command.from, to: command.to },
    settings: { ...DEFAULT_SETTINGS, scanner: command.scanner ?? DEFAULT_SETTINGS.scanner },
  };
  const measured = measure({ document, handles, version }, store, partOf(progress, 0.5, 0.75));
  const { files } = await makeSheet(
    { document, handles, ...measured, issuedAt: command.issuedAt, fonts: await fonts(packageFolder) },
    store,
    partOf(progress, 0.75, 1),
  );
  await writeAll(out, files);
  progress.done();
  process.stdout.write(summary(measured.readings));
  process.stdout.write(`\n${files.map(({ name }) => join(command.out, name)).join("\n")}\n`);
  for (const failure of failures) process.stderr.write(`raphe: ${failure}\n`);
  const { asked, made } = measured.readings;
  if (made < asked)
    process.stderr.write(`raphe: ${asked - made} of ${asked} asked readings could not be made; see above\n`);
  if (asked === 0)
    process.stderr.write("raphe: no reading was asked for: the landmarks name no pair of teeth of these scans\n");
  return failures.length > 0 || made < asked || asked === 0 ? 1 : 0;
}

/** 'after' and 'in retention' by name; the first scan of a span that ends in retention is the one after expansion. */
function kindOf(name: string, first: string): Timepoint["kind"] {
  if (/retention/i.test(name)) return "retention";
  if (/^after/i.test(name)) return "after";
  return name === first ? "before" : "after";
}

/** The timepoint's landmarks; where the file has none for it, they are asked for by the readings. */
const landmarksOf = (marks: Marks, name: string) => marks.scans[name]?.landmarks ?? [];

async function readMarks(path: string): Promise<Marks> {
  let text: string;
  try {
    text = await readFile(path, "utf8");
  } catch (thrown) {
    const code = (thrown as NodeJS.ErrnoException).code ?? "unknown reason";
    throw new RapheError({
      code: code === "ENOENT" ? "file-missing" : code === "EISDIR" ? "not-a-file" : "not-readable",
      subject: path,
      problem: code === "ENOENT" ? "there is no such landmark file" : `the landmark file cannot be read (${code})`,
      remedy: "Check the path given to --landmarks",
    });
  }
  return parseMarks(text, path);
}

/** At least one of the two scans must have landmarks in the file; one without is asked for by its readings. */
function checkNames(marks: Marks, { from, to, landmarks }: MeasureCommand): void {
  const names = Object.keys(marks.scans);
  if (names.includes(from) || names.includes(to)) return;
  throw new RapheError({
    code: "marks-missing-scan",
    subject: landmarks,
    problem: `it has landmarks for ${names.length === 0 ? "no scan" : names.join(", ")}, but not for ${from} or ${to}`,
    remedy: "Name the timepoints with --from and --to, or correct the file",
  });
}

/** The output folder, made if need be. An earlier record is never overwritten. */
async function emptyFolder(path: string): Promise<string> {
  const folder = resolve(path);
  try {
    await mkdir(folder, { recursive: true });
    if ((await readdir(folder)).length === 0) return folder;
  } catch (thrown) {
    throw new RapheError({
      code: "not-writable",
      subject: path,
      problem: `the folder cannot be made (${(thrown as NodeJS.ErrnoException).code ?? "unknown reason"})`,
      remedy: "Give a folder that this user may write",
    });
  }
  throw new RapheError({
    code: "not-writable",
    subject: path,
    problem: "the folder is not empty, and an earlier record is never overwritten",
    remedy: "Give a new folder to --out",
  });
}

/** Each file complete or not there: written beside its place, then renamed. */
async function writeAll(folder: string, files: readonly { name: string; bytes: Uint8Array }[]): Promise<void> {
  for (const { name, bytes } of files) {
    const temporary = join(folder, `.${name}.part`);
    try {
      await writeFile(temporary, bytes, { flush: true });
      await rename(temporary, join(folder, name));
    } catch (thrown) {
      await rm(temporary, { force: true });
      throw new RapheError({
        code: "not-writable",
        subject: join(folder, name),
        problem: `the file cannot be written (${(thrown as NodeJS.ErrnoException).code ?? "unknown reason"})`,
        remedy: "Free some space or give another folder to --out",
      });
    }
  }
}

/** The four fonts of the sheet from their packages. */
async function fonts(packageFolder: string): Promise<PdfFonts> {
  const font = (path: string) => readFile(join(packageFolder, "node_modules/@expo-google-fonts", path));
  const [sans, sansStrong, serif, serifStrong] = await Promise.all([
    font("inter/400Regular/Inter_400Regular.ttf"),
    font("inter/600SemiBold/Inter_600SemiBold.ttf"),
    font("source-serif-4/400Regular/SourceSerif4_400Regular.ttf"),
    font("source-serif-4/600SemiBold/SourceSerif4_600SemiBold.ttf"),
  ]);
  return { sans, sansStrong, serif, serifStrong };
}
