import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import { type Accuracy, accuracy, accuracyPage } from "../../accuracy/page";
import type { ClearCell } from "../../accuracy/verdict-grid";

let found: Accuracy;
beforeAll(() => {
  found = accuracy();
});

test("docs/accuracy.md is what the code gives now (npm run accuracy writes it)", () => {
  const written = readFileSync(resolve(import.meta.dirname, "../../../docs/accuracy.md"), "utf8");
  expect(written).toBe(accuracyPage(found));
});

describe("clear cases", () => {
  const of = (kind: ClearCell["kind"], clearance: number) => {
    const cells = found.clear.filter((cell) => cell.kind === kind && cell.clearance === clearance);
    expect(cells.length).toBeGreaterThanOrEqual(3);
    return cells;
  };
  const decided = ({ rates }: ClearCell) => rates.right + rates.wrong + rates.weaker;

  test("of all of them, at least 95 % are decided, and of fans and parallel widenings at least 99 % rightly", () => {
    for (const { kind, cases, rates } of found.sweeps) {
      expect(cases).toBeGreaterThan(20);
      expect(1 - rates.open).toBeGreaterThanOrEqual(0.95);
      // Where nothing changed, the 95 % interval that 'narrowed' rests on lies below 0 in up to 2.5 % by its own making.
      expect(rates.wrong / (1 - rates.open)).toBeLessThanOrEqual(kind === "no-change" ? 0.025 : 0.01);
    }
  });

  test("at its edge a fan beyond δ by 3u is decided in at least 95 %, and of these at least 99 % are right", () => {
    for (const cell of of("fan-front", 3)) {
      expect(decided(cell)).toBeGreaterThanOrEqual(0.95);
      expect(cell.rates.right / decided(cell)).toBeGreaterThanOrEqual(0.99);
    }
  });

  test("a parallel widening within δ by 3u is right wherever it is decided, and by 4u decided in at least 95 %", () => {
    for (const cell of [...of("parallel", 3), ...of("parallel", 4)]) {
      expect(cell.rates.right / decided(cell)).toBeGreaterThanOrEqual(0.99);
      // The 90 % interval fits inside δ in Φ(3 − 1.645) = 91 % at most, less where it barely fits between both bounds.
      expect(decided(cell)).toBeGreaterThanOrEqual(cell.clearance === 4 ? 0.95 : 0.75);
    }
  });

  test("nothing moved: by 2u nothing but 'narrowed' by chance is wrong, and by 4u it is called no change in 95 %", () => {
    for (const cell of of("no-change", 2)) expect(cell.rates.wrong).toBeLessThanOrEqual(0.035);
    for (const cell of of("no-change", 4)) {
      expect(cell.rates.right).toBeGreaterThanOrEqual(0.95);
      expect(cell.rates.wrong).toBeLessThanOrEqual(0.01);
    }
  });
});

test("the verdict is hardly ever wrong where the true D is far from δ", () => {
  for (const { difference, rates } of found.grid) {
    if (Math.abs(difference) >= 2) expect(rates.wrong).toBeLessThanOrEqual(0.01);
    if (difference === 0) expect(rates.wrong).toBeLessThanOrEqual(0.06);
  }
});
