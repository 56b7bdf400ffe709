import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import { type Accuracy, accuracy, accuracyPage } from "../../accuracy/page";
import { type ClearCell, type ClearSweep, KINDS, together } from "../../accuracy/verdict-grid";

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

  const target = (sweeps: readonly ClearSweep[], kindOf: string): void => {
    const { rates } = together(sweeps);
    const share = 1 - rates.open;
    expect(share, kindOf).toBeGreaterThanOrEqual(0.95);
    expect((rates.right + rates.weaker + rates.narrowed) / share, kindOf).toBeGreaterThanOrEqual(0.99);
  };

  test("of all of them together at least 95 % are decided, and of these at least 99 % are right or say less", () => {
    expect(together(found.sweeps).cases).toBeGreaterThan(500);
    target(found.sweeps, "all");
  });

  test.each(KINDS)("the same holds of every kind by itself: %s", (kind) => {
    const own = found.sweeps.filter((sweep) => sweep.kind === kind);
    expect(together(own).cases).toBeGreaterThan(50);
    target(own, kind);
  });

  test("the same holds where nothing became narrower, so that 'narrowed' is wrong whenever it is said", () => {
    const own = found.sweeps.filter(({ kind, negative }) => kind === "no-change" && !negative);
    expect(together(own).cases).toBeGreaterThan(30);
    expect(together(own).rates.narrowed).toBe(0);
    target(own, "no change, change 0 or more");
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

  test("nothing moved: by 2u nothing but 'narrowed' by chance is wrong, and by 4u from one bound it is called no change in 95 %", () => {
    for (const cell of of("no-change", 2)) expect(cell.rates.wrong).toBeLessThanOrEqual(0.035);
    for (const cell of of("no-change", 4)) {
      // Where the truth lies by 0, both bounds are 4u away at both stations, each missed in Φ(1.645 − 4) = 0.9 %, and
      // the 5 % whose scatter widens the band by chance may miss them too: no more than 91 % can be asked for.
      const bothBounds = cell.truth < cell.u;
      expect(cell.rates.right).toBeGreaterThanOrEqual(bothBounds ? 0.91 : 0.95);
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
