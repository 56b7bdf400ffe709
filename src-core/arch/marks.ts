import { z } from "zod";
import { RapheError } from "../errors";
import { Landmark } from "./landmark";

/** marks.json: landmarks of any number of scans, by the timepoint's name. */
export const Marks = z.object({
  version: z.literal(1),
  scans: z.record(z.string(), z.object({ landmarks: z.array(Landmark) })),
});
export type Marks = z.infer<typeof Marks>;

/**
 * Reads the text of a marks.json.
 * @param name how the user knows the file, for the error
 * @throws RapheError `marks-malformed`, naming the place in the document
 */
export function parseMarks(text: string, name: string): Marks {
  let raw: unknown;
  try {
    raw = JSON.parse(text);
  } catch {
    throw new RapheError({
      code: "marks-malformed",
      subject: name,
      problem: "this is not JSON",
      remedy: "Export the landmarks again, or compare the file with docs in sample-meshes",
    });
  }
  const read = Marks.safeParse(raw);
  if (!read.success) {
    const first = read.error.issues[0]!;
    throw new RapheError({
      code: "marks-malformed",
      subject: name,
      problem: first.message,
      where: first.path.map(String).join(" → ") || "at the top",
      remedy: "Correct that entry; the schema is marks.schema.json",
    });
  }
  return read.data;
}
