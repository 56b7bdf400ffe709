import { grouped } from "../../grouped";
import { fixed, percent, sentenceCase } from "../format";
import { type Block, plain, quiet, strong } from "../sheet";
import type { SheetContext } from "./context";

/** How well the scans were laid on each other, region by region. */
export function fitBlocks({ readings }: SheetContext): Block[] {
  const blocks: Block[] = [{ kind: "heading", text: "Laying the scans on each other", note: "" }];
  for (const given of readings.registrations) {
    if (given.state === "withheld") {
      blocks.push({
        kind: "paragraph",
        size: "small",
        runs: [{ text: `Withheld: ${given.reason.text}.`, tone: "asks" }],
      });
      continue;
    }
    const { label, sentence, points, inlierShare, iterations, condition } = given.reading;
    // What the label says after the name belongs behind the sentence.
    const [name = label, meaning] = label.split(": ");
    blocks.push({
      kind: "paragraph",
      size: "small",
      runs: [
        strong(`${sentenceCase(name)}. `),
        plain(sentence),
        quiet(
          ` ${meaning === undefined ? "" : `${sentenceCase(meaning)}. `}${percent(inlierShare)} of ${grouped(points)} points kept, ${iterations} iterations, condition ${fixed(condition, 0)}.`,
        ),
      ],
    });
  }
  if (readings.registrations.length === 0) {
    blocks.push({ kind: "paragraph", size: "small", runs: [quiet("The scans were not laid on each other.")] });
  }
  return blocks;
}
