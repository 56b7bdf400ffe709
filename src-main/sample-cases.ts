import { readFile } from "node:fs/promises";
import { join, parse } from "node:path";
import type { OpenedSample, SampleCase } from "#core/bridge/contract";
import { RapheError } from "#core/errors";
import { readingError } from "./file-errors";
import type { FileTickets } from "./file-tickets";

interface SampleFolder extends SampleCase {
  /** Its scans in the order of their dates; the stem is the timepoint's name. */
  readonly scans: readonly string[];
  readonly marks: string;
}

const FOLDERS: readonly SampleFolder[] = [
  {
    id: "fan",
    title: "Sample case: fan-shaped widening, with a scan in retention (invented)",
    scans: ["before.stl", "after.ply", "in-retention.ply"],
    marks: "marks-fan.json",
  },
  {
    id: "parallel",
    title: "Sample case: parallel widening (invented)",
    scans: ["before.stl", "after.ply"],
    marks: "marks-parallel.json",
  },
];

/** The sample cases that come with the app, each in a folder of its own below `sample-meshes`. All are invented. */
export const SAMPLE_CASES: readonly SampleCase[] = FOLDERS.map(({ id, title }) => ({ id, title }));

/**
 * Opens a sample case: tickets for its scans, which are named by their timepoints, and the text of its landmark file.
 * @throws RapheError `bad-request` for an id that is not offered, `file-missing`, `not-readable`
 */
export async function openSampleCase(folder: string, id: string, tickets: FileTickets): Promise<OpenedSample> {
  const sample = FOLDERS.find((offered) => offered.id === id);
  if (sample === undefined) {
    throw new RapheError({
      code: "bad-request",
      subject: id,
      problem: "there is no such sample case",
      remedy: "Choose one of those that are offered",
    });
  }
  const files: OpenedSample["files"] = [];
  for (const scan of sample.scans) {
    files.push({ timepointId: parse(scan).name, ticket: await tickets.issue(join(folder, id, scan)) });
  }
  try {
    const marks = await readFile(join(folder, id, sample.marks), "utf8");
    return { id, title: sample.title, files, marks };
  } catch (error) {
    throw readingError(error, sample.marks);
  }
}
