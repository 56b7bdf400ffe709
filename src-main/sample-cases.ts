import { readFile } from "node:fs/promises";
import { join } from "node:path";
import type { OpenedSample, SampleCase } from "#core/bridge/contract";
import { type CaseDescription, parseCaseDescription } from "#core/case/case-description";
import { describedFiles } from "#core/case/described-case";
import { RapheError } from "#core/errors";
import { readingError } from "./file-errors";
import type { FileTickets } from "./file-tickets";

/** The folders of the sample cases below `sample-meshes`, in the order in which the first screen offers them. */
const SAMPLES = ["fan", "parallel"] as const;

/**
 * The sample cases that come with the app, each in a folder of its own with a `case.json`. All are invented. One whose
 * description cannot be read is not offered.
 */
export async function offeredSamples(folder: string): Promise<SampleCase[]> {
  const read = await Promise.allSettled(
    SAMPLES.map(async (id) => ({ id, title: (await descriptionOf(folder, id)).title })),
  );
  return read.flatMap((one) => (one.status === "fulfilled" ? [one.value] : []));
}

/**
 * Opens a sample case: its description, tickets for its scans, and the texts of its landmark files.
 * @throws RapheError `bad-request` for an id that is not offered, `case-malformed`, `file-missing`, `not-readable`
 */
export async function openSampleCase(folder: string, id: string, tickets: FileTickets): Promise<OpenedSample> {
  if (!SAMPLES.some((offered) => offered === id)) {
    throw new RapheError({
      code: "bad-request",
      subject: id,
      problem: "there is no such sample case",
      remedy: "Choose one of those that are offered",
    });
  }
  const description = await descriptionOf(folder, id);
  const files = describedFiles(description);
  const scans: OpenedSample["scans"] = [];
  for (const path of new Set(files.scans.map((scan) => scan.path))) {
    scans.push({ path, ticket: await tickets.issue(join(folder, id, path)) });
  }
  const marks: OpenedSample["marks"] = [];
  for (const path of files.marks) marks.push({ path, text: await textOf(join(folder, id, path), path) });
  return { id, description, scans, marks };
}

async function descriptionOf(folder: string, id: string): Promise<CaseDescription> {
  const name = `${id}/case.json`;
  return parseCaseDescription(await textOf(join(folder, id, "case.json"), name), name);
}

async function textOf(path: string, subject: string): Promise<string> {
  try {
    return await readFile(path, "utf8");
  } catch (error) {
    throw readingError(error, subject);
  }
}
