import { readdir, readFile } from "node:fs/promises";
import { extname, join, parse } from "node:path";
import type { OpenedSample, SampleCase } from "#core/bridge/contract";
import { RapheError } from "#core/errors";
import { readingError } from "./file-errors";
import type { FileTickets } from "./file-tickets";

/** The sample cases that come with the app, each in a folder of its own below `sample-meshes`. All are invented. */
export const SAMPLE_CASES: readonly SampleCase[] = [
  { id: "fan", title: "Sample case: fan-shaped widening (invented)" },
  { id: "parallel", title: "Sample case: parallel widening (invented)" },
];

const SCAN_TYPES = new Set([".stl", ".ply"]);

/**
 * Opens a sample case: tickets for its scans, which are named by their timepoints, and the text of its landmark file.
 * @throws RapheError `bad-request` for an id that is not offered, `file-missing`, `not-readable`
 */
export async function openSampleCase(folder: string, id: string, tickets: FileTickets): Promise<OpenedSample> {
  const sample = SAMPLE_CASES.find((offered) => offered.id === id);
  if (sample === undefined) {
    throw new RapheError({
      code: "bad-request",
      subject: id,
      problem: "there is no such sample case",
      remedy: "Choose one of those that are offered",
    });
  }
  const here = join(folder, sample.id);
  try {
    const names = (await readdir(here)).sort();
    const files: OpenedSample["files"] = [];
    for (const name of names.filter((entry) => SCAN_TYPES.has(extname(entry)))) {
      files.push({ timepointId: parse(name).name, ticket: await tickets.issue(join(here, name)) });
    }
    const marks = names.includes("marks.json") ? await readFile(join(here, "marks.json"), "utf8") : null;
    return { id: sample.id, title: sample.title, files, marks };
  } catch (error) {
    throw readingError(error, sample.title);
  }
}
