import { describe, expect, it } from "vitest";
import { RapheError } from "#core/errors";
import { SOUND } from "./mutated-files";
import { countingMemory, memoryBound, mutationLine, outcomeOf, runMutations } from "./mutation-run";
import { text } from "./scan-files";

const SEED = 20_265;
const FILES = 2000;

describe("files made wrong", () => {
  it("end in a sound mesh or a typed error, and never ask for memory that their size does not warrant", async () => {
    const run = await runMutations(SEED, FILES);
    console.log(mutationLine(SEED, FILES, run));
    expect(run.faults).toEqual([]);
    // The changes must reach every way out, or the test says little.
    for (const kind of ["mesh", "truncated", "malformed", "not-finite", "unknown-format"]) {
      expect(run.outcomes[kind] ?? 0, kind).toBeGreaterThan(FILES / 200);
    }
  });

  it("were sound before", async () => {
    for (const bytes of SOUND) {
      expect(bytes.length).toBeLessThanOrEqual(8192);
      const { result, reserved } = await countingMemory(() => outcomeOf(bytes));
      expect(result).not.toBeInstanceOf(RapheError);
      // What is reserved is really counted.
      expect(reserved).toBeGreaterThan(bytes.length);
    }
  });

  it.each(["the count of a binary STL", "the vertices of a PLY", "the faces of a PLY", "a list of a PLY"])(
    "with a huge number in %s are refused before memory is asked for",
    async (what) => {
      const bytes = SOUND[what.includes("STL") ? 0 : 4]!.slice();
      const view = new DataView(bytes.buffer);
      if (what.includes("STL")) view.setUint32(80, 19_999_999, true);
      else if (what.includes("list")) view.setUint32(bytes.length - 36, 0x7fff_ffff, true);
      else {
        // The digits take the place of the comment, so that the header keeps its length.
        const letters = new TextDecoder("latin1").decode(bytes);
        const word = what.includes("faces") ? "face 50" : "vertex 150";
        const header = letters.slice(0, letters.indexOf("end_header")).replace("comment invented", "comment");
        bytes.set(text(header.replace(word, `${word}${"0".repeat(9)}`)));
      }
      const { result, reserved } = await countingMemory(() => outcomeOf(bytes));
      expect(result).toMatchObject({ code: "truncated" });
      expect(reserved).toBeLessThan(memoryBound(bytes.length));
    },
  );
});
