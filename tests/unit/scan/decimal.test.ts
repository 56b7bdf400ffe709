import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { decimal } from "#core/scan/decimal";
import { text } from "./scan-files";

const parsed = (word: string): number => decimal(text(word), 0, word.length);

describe("a decimal number", () => {
  it("has the value that the language gives it, to the last digit", () => {
    fc.assert(
      fc.property(
        fc.double({ noNaN: true, noDefaultInfinity: true }),
        fc.integer({ min: 0, max: 20 }),
        (value, digits) => {
          for (const word of [String(value), value.toExponential(digits), value.toPrecision(digits + 1)]) {
            expect(parsed(word), word).toBe(Number(word));
          }
        },
      ),
      { seed: 20_264, numRuns: 5000 },
    );
  });

  it.each([
    "0",
    "-0",
    "+5",
    "5.",
    ".5",
    "-.5e-3",
    "1E5",
    "1e+05",
    "007",
    "123456789012345678901234567890",
    "1e400",
    "1e-400",
  ])("may be written as %s", (word) => {
    expect(parsed(word)).toBe(Number(word));
  });

  it.each(["", "-", ".", "e5", "1e", "1e+", "1.2.3", "1,5", "0x10", "1_000", "five", "--1", "1-", "1e5.5", "Infinity"])(
    "is not '%s'",
    (word) => {
      expect(parsed(word)).toBeNaN();
    },
  );
});
