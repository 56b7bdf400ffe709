import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { type OpenedSample, type SampleCase, type SampleManifest, sampleManifestSchema } from "#core/bridge/contract";
import { RapheError } from "#core/errors";
import { readingError } from "./file-errors";
import type { FileTickets } from "./file-tickets";

/** The folders of the sample cases below `sample-meshes`, in the order in which the first screen offers them. */
const SAMPLES = ["fan", "parallel"] as const;

/**
 * The sample cases that come with the app, each in a folder of its own with a `case.json`. All are invented. One whose
 * manifest cannot be read is not offered.
 */
export async function offeredSamples(folder: string): Promise<SampleCase[]> {
  const read = await Promise.allSettled(
    SAMPLES.map(async (id) => ({ id, title: (await manifestOf(folder, id)).title })),
  );
  return read.flatMap((one) => (one.status === "fulfilled" ? [one.value] : []));
}

/**
 * Opens a sample case: what its manifest says, tickets for its scans, and the text of its landmark file.
 * @throws RapheError `bad-request` for an id that is not offered, `malformed`, `file-missing`, `not-readable`
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
  const { title, identity, timepoints, marks } = await manifestOf(folder, id);
  const opened: OpenedSample["timepoints"] = [];
  for (const { scan, ...timepoint } of timepoints) {
    opened.push({ ...timepoint, ticket: await tickets.issue(join(folder, id, scan)) });
  }
  return { id, title, identity, timepoints: opened, marks: await textOf(join(folder, id, marks), marks) };
}

async function manifestOf(folder: string, id: string): Promise<SampleManifest> {
  const text = await textOf(join(folder, id, "case.json"), `${id}/case.json`);
  let content: unknown;
  try {
    content = JSON.parse(text);
  } catch {
    content = null;
  }
  const read = sampleManifestSchema.safeParse(content);
  if (read.success) return read.data;
  const [issue] = read.error.issues;
  throw new RapheError({
    code: "malformed",
    subject: `${id}/case.json`,
    problem: "it is not the manifest of a sample case",
    where: issue === undefined ? "" : `${issue.path.join(" → ")}: ${issue.message}`,
    remedy: "Install the app again, or correct the file as sample-meshes/README.md describes it",
  });
}

async function textOf(path: string, subject: string): Promise<string> {
  try {
    return await readFile(path, "utf8");
  } catch (error) {
    throw readingError(error, subject);
  }
}
