import { z } from "zod";
import { Marks } from "../arch/marks";
import { CaseDescription } from "../case/case-description";
import type { CaseDocument } from "../case/case-document";
import { RapheError } from "../errors";
import { Readings } from "../readings/readings-document";

/** The record's JSON files: one text for one content, whatever order its keys came in. */

/**
 * The text of readings.json: the readings checked by their schema, keys in the schema's order, two spaces.
 * @throws RapheError `internal` if they do not fit the schema: nothing malformed goes on record
 */
export function readingsJson(readings: Readings): string {
  const checked = Readings.safeParse(readings);
  if (!checked.success) {
    const first = checked.error.issues[0]!;
    throw new RapheError({
      code: "internal",
      subject: "readings.json",
      problem: `the readings do not fit their schema: ${first.message}`,
      where: first.path.map(String).join(" → "),
      remedy: "Nothing was written; keep this message",
    });
  }
  return jsonText(checked.data);
}

/**
 * The text of marks.json: the landmarks as placed on the two scans that the record compares, the earlier one first, and
 * those of the scan that points were carried from to both.
 */
export function marksJson(document: CaseDocument, readings: Readings): string {
  const { from, to } = document.span;
  const names = new Set([from, to, ...readings.landmarks.map(({ placedOn }) => placedOn)]);
  const marked = [...names].flatMap((name) =>
    document.timepoints.filter((t) => t.name === name && t.landmarks.length > 0),
  );
  return jsonText(
    Marks.parse({ version: 1, scans: Object.fromEntries(marked.map((t) => [t.name, { landmarks: t.landmarks }])) }),
  );
}

/** The JSON Schemas (draft 2020-12) of the files that are read and written, by file name. */
export function schemaTexts(): { name: string; text: string }[] {
  const schema = (title: string, type: z.ZodType) =>
    // 'input': what a reader must accept; keys beyond the schema are allowed in marks.json and refused in the others.
    jsonText({ title, ...z.toJSONSchema(type, { io: "input", target: "draft-2020-12" }) });
  return [
    { name: "marks.schema.json", text: schema("Landmarks of dental arch scans, Raphe marks.json version 1", Marks) },
    { name: "case.schema.json", text: schema("A case written by hand, Raphe case.json version 1", CaseDescription) },
    {
      name: "readings.schema.json",
      text: schema("Readings of two arch scans, Raphe readings.json version 1", Readings),
    },
  ];
}

const jsonText = (value: unknown): string => `${JSON.stringify(value, null, 2)}\n`;
