import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { breakLines, lineWidth, STYLES } from "#core/sheet/layout/lines";
import { plain, quiet, type Run, strong } from "#core/sheet/sheet";

/** Every letter is one wide. */
const measure = (text: string) => text.length;
const texts = (runs: readonly Run[], width: number) =>
  breakLines(runs, STYLES.normal, width, measure).map((line) => line.map(({ text }) => text).join(""));

describe("breaking runs into lines", () => {
  test("runs without a space between them go to the next line together", () => {
    expect(texts([plain("case one "), quiet("date\u00a0"), strong("28\u00a0May"), quiet("\u00a0(86)")], 16)).toEqual([
      "case one ",
      "date\u00a028\u00a0May\u00a0(86)",
    ]);
  });

  test("what is wider than a line is broken where it must be", () => {
    expect(texts([strong("abcdef"), quiet("ghijkl")], 8)).toEqual(["abcdef", "ghijkl"]);
    expect(texts([strong("abcdefghij")], 8)).toEqual(["abcdefgh", "ij"]);
  });

  test("no line is wider than asked, whatever the runs", () => {
    const word = fc.string({ unit: fc.constantFrom("a", "b", "\u00a0"), minLength: 1, maxLength: 5 });
    const fact = fc.tuple(word, word, word).map(([a, b, c]) => [quiet(`${a}\u00a0`), strong(b), quiet(`\u00a0${c} `)]);
    fc.assert(
      fc.property(fc.array(fact, { minLength: 1, maxLength: 12 }), fc.integer({ min: 6, max: 60 }), (facts, width) => {
        const runs = facts.flat();
        const lines = breakLines(runs, STYLES.normal, width, measure);
        // A space that a line ends with may hang over.
        for (const line of lines) expect(lineWidth(line)).toBeLessThanOrEqual(width + 1);
        const said = lines.map((line) => line.map(({ text }) => text).join("")).join("");
        expect(said.replaceAll(" ", "")).toBe(runs.map(({ text }) => text.replaceAll(" ", "")).join(""));
      }),
      { seed: 20261125 },
    );
  });
});
