import { readFile } from "node:fs/promises";
import { join } from "node:path";
import type { CaseDocument } from "#core/case/case-document";
import { type Span, spanFolders, spansOf } from "#core/case/spans";
import { partOf } from "#core/job-control";
import { makeSheet } from "#core/jobs/make-sheet";
import { measure } from "#core/jobs/measure";
import { ScanStore } from "#core/jobs/scan-store";
import type { Readings } from "#core/readings/readings-document";
import { readingsCsv } from "#core/sheet/csv";
import type { PdfFonts } from "#core/sheet/pdf";
import type { MeasureCommand } from "./arguments";
import { type OpenedCase, openCaseFile, openTwoScans } from "./open-case";
import { emptyFolder, writeAll } from "./output-folder";
import { progressLine } from "./progress-line";
import { summary } from "./summary";

/** All readings of a case's spans in one table. */
const TABLE = "all.csv";

/**
 * `raphe measure`: a case, or two scans and their landmarks, in; a folder with the record out. A scan that cannot be
 * read is named and the readings on the others are still made.
 * @param packageFolder where the fonts are found
 * @returns exit code 0, 1 or 2, as the usage says
 * @throws RapheError where nothing can be measured or written
 */
export async function measureCommand(command: MeasureCommand, packageFolder: string, version: string): Promise<number> {
  const out = await emptyFolder(command.out);
  const progress = progressLine(process.stderr);
  const store = new ScanStore();
  const { subject } = command;
  const reading = partOf(progress, 0, 0.3);
  const opened =
    "caseFile" in subject
      ? await openCaseFile(subject.caseFile, store, reading)
      : await openTwoScans(subject, store, reading);
  const { handles, painted, failures } = opened;
  const document = withScanner(opened.document, command);
  const spans = measurable(opened);
  if (spans.length === 0) {
    progress.done();
    for (const failure of failures) process.stderr.write(`raphe: ${failure}\n`);
    return 2;
  }
  const folders =
    "caseFile" in subject
      ? spanFolders(
          spans,
          document.timepoints.map(({ name }) => name),
        )
      : ["."];
  const sheetFonts = await fonts(packageFolder);
  const written: string[] = [];
  const all: Readings[] = [];
  for (const [i, span] of spans.entries()) {
    const share = (part: number) => 0.3 + (0.7 * (i + part)) / spans.length;
    const compared: CaseDocument = { ...document, span };
    const measured = measure(
      { document: compared, handles, painted, version },
      store,
      partOf(progress, share(0), share(0.5)),
    );
    const { files } = await makeSheet(
      { document: compared, handles, painted, ...measured, issuedAt: command.issuedAt, fonts: sheetFonts },
      store,
      partOf(progress, share(0.5), share(1)),
    );
    const folder = folders[i]!;
    await writeAll(folder === "." ? out : await emptyFolder(join(out, folder)), files);
    written.push(...files.map(({ name }) => join(command.out, folder, name)));
    all.push(measured.readings);
  }
  if ("caseFile" in subject) {
    await writeAll(out, [{ name: TABLE, bytes: new TextEncoder().encode(readingsCsv(all)) }]);
    written.push(join(command.out, TABLE));
  }
  progress.done();
  all.forEach((readings, i) => {
    if (all.length > 1) process.stdout.write(`${i === 0 ? "" : "\n"}${heading(spans[i]!)}\n`);
    process.stdout.write(summary(readings));
  });
  process.stdout.write(`\n${written.join("\n")}\n`);
  for (const failure of failures) process.stderr.write(`raphe: ${failure}\n`);
  const complete = all.map((readings, i) => completely(readings, all.length > 1 ? `${heading(spans[i]!)}: ` : ""));
  return failures.length > 0 || complete.includes(false) ? 1 : 0;
}

/** The spans that have a scan at least at one end. */
function measurable({ document, handles }: OpenedCase): Span[] {
  const names = document.timepoints.map(({ name }) => name);
  return spansOf(names).filter(({ from, to }) => handles[from] !== undefined || handles[to] !== undefined);
}

const withScanner = (document: CaseDocument, { scanner }: MeasureCommand): CaseDocument =>
  scanner === null ? document : { ...document, settings: { ...document.settings, scanner } };

const heading = ({ from, to }: Span): string => `${from} → ${to}`;

/** Whether every asked reading of a span was made; says so where not. */
function completely({ asked, made }: Readings, span: string): boolean {
  const say = (text: string) => process.stderr.write(`raphe: ${span}${text}\n`);
  if (made < asked) say(`${asked - made} of ${asked} asked readings could not be made; see above`);
  if (asked === 0) say("no reading was asked for: the landmarks name no pair of teeth of these scans");
  return made === asked && asked > 0;
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
