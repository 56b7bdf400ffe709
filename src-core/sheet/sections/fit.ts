import { count, fixed, percent, sentenceCase } from "../format";
import { type Block, plain, quiet, type Section, strong } from "../sheet";
import type { SheetContext } from "./context";

/** How well the scans were laid on each other, region by region. */
export function fitSection({ readings }: SheetContext): Section {
  const blocks: Block[] = [
    { kind: "heading", text: "Laying the scans on each other", note: "not needed for the widths" },
  ];
  for (const given of readings.registrations) {
    if (given.state === "withheld") {
      blocks.push({
        kind: "paragraph",
        size: "normal",
        runs: [{ text: `Withheld: ${given.reason.text}.`, tone: "asks" }],
      });
      continue;
    }
    const { label, sentence, rms, points, inlierShare, iterations, condition } = given.reading;
    blocks.push({
      kind: "paragraph",
      size: "normal",
      runs: [
        strong(`${sentenceCase(label)}: `),
        plain(sentence),
        quiet(
          ` RMS ${fixed(rms, 2)}\u00a0mm over ${count(points)} points, ${percent(inlierShare)} of them kept; ${iterations} iterations, condition ${fixed(condition, 0)}.`,
        ),
      ],
    });
  }
  if (readings.registrations.length === 0) {
    blocks.push({ kind: "paragraph", size: "normal", runs: [quiet("The scans were not laid on each other.")] });
  }
  return { id: "fit", blocks };
}
