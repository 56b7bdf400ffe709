import { fixed } from "#core/readings/numbers-in-words";
import { LANDMARK_ERROR, type Sensitivity, sensitivities } from "./sensitivity";
import {
  CLEAR_ERRORS,
  type ClearCell,
  type ClearSweep,
  clearCases,
  clearSweeps,
  ERRORS,
  type GridCell,
  KINDS,
  PAIR_SETS,
  type Rates,
  TRUE_DIFFERENCES,
  together,
  verdictGrid,
} from "./verdict-grid";

/** What the page is made of. */
export interface Accuracy {
  readonly grid: readonly GridCell[];
  readonly clear: readonly ClearCell[];
  readonly sweeps: readonly ClearSweep[];
  readonly sensitivity: readonly Sensitivity[];
}

const GRID_DRAWS = 200;
const CLEAR_DRAWS = 300;
const SWEEP_DRAWS = 120;

export const accuracy = (): Accuracy => ({
  grid: verdictGrid(GRID_DRAWS),
  clear: clearCases(CLEAR_DRAWS),
  sweeps: clearSweeps(SWEEP_DRAWS),
  sensitivity: sensitivities(),
});

/** A table as the formatter sets it: columns padded to their widest cell. */
function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const widths = head.map((_, i) => Math.max(3, ...[head, ...rows].map((cells) => cells[i]!.length)));
  const line = (cells: readonly string[]) => `| ${cells.map((cell, i) => cell.padEnd(widths[i]!)).join(" | ")} |`;
  return [line(head), line(widths.map((width) => "-".repeat(width))), ...rows.map(line)].join("\n");
}

const percent = (share: number): string => `${Math.round(100 * share)}`;
const millimetres = (value: number, decimals = 2): string => fixed(value, decimals);
const threeWay = ({ right, wrong, open }: Rates): string => [right, wrong, open].map(percent).join(" / ");

function gridTable(grid: readonly GridCell[]): string {
  const columns = ERRORS.flatMap((_, error) => PAIR_SETS.map((pairs) => ({ error, pairs: pairs.length })));
  return table(
    ["true D, mm", ...columns.map(({ error, pairs }) => `${ERRORS[error]!.name}, ${pairs} pairs`)],
    TRUE_DIFFERENCES.map((difference) => [
      millimetres(difference, 1),
      ...columns.map(({ error, pairs }) =>
        threeWay(grid.find((c) => c.error === error && c.pairs === pairs && c.difference === difference)!.rates),
      ),
    ]),
  );
}

const KIND_WORDS: Readonly<Record<ClearCell["kind"], string>> = {
  "fan-front": "fan, D = δ + ",
  parallel: "parallel, D = δ − ",
  "no-change": "no change, 0.5 mm − ",
};

function clearTable(clear: readonly ClearCell[]): string {
  return table(
    ["case", "error", "pairs", "u, mm", "truth, mm", "right", "true but weaker", "wrong", "open"],
    clear.map(({ kind, clearance, error, pairs, u, truth, rates }) => [
      `${KIND_WORDS[kind]}${clearance}u`,
      CLEAR_ERRORS[error]!.name,
      String(pairs),
      millimetres(u),
      millimetres(truth),
      percent(rates.right),
      kind === "no-change" ? percent(rates.weaker) : "",
      percent(rates.wrong),
      percent(rates.open),
    ]),
  );
}

const SWEPT: Readonly<Record<ClearCell["kind"], string>> = {
  "fan-front": "fan, D ≥ δ + 3u",
  parallel: "parallel, D within ±(δ − 3u)",
  "no-change": "no change, change within ±(0.5 mm − 2u)",
};

function sweepTable(sweeps: readonly ClearSweep[]): string {
  const row = (what: string, error: string, of: readonly ClearSweep[]): string[] => {
    const { cases, rates } = together(of);
    const shares = [rates.right, rates.weaker, rates.narrowed, rates.wrong, rates.open].map((share) =>
      fixed(100 * share, 1),
    );
    return [what, error, String(cases), ...shares];
  };
  const groups = KINDS.flatMap((kind) =>
    [false, true].map((negative) => ({
      name: `${SWEPT[kind]}${kind !== "no-change" ? "" : negative ? ", below 0" : ", 0 or more"}`,
      own: sweeps.filter((sweep) => sweep.kind === kind && sweep.negative === negative),
    })),
  ).filter(({ own }) => own.length > 0);
  const rows = groups.flatMap(({ name, own }) => [
    row(`**${name}**`, "**all**", own),
    ...own.map((sweep) => row("", CLEAR_ERRORS[sweep.error]!.name, [sweep])),
  ]);
  return table(
    ["clear cases", "error", "cases", "right", "true but weaker", "narrowed, rightly", "wrong", "open"],
    [row("**all**", "**all**", sweeps), ...rows],
  );
}

function sensitivityTable(rows: readonly Sensitivity[]): string {
  return table(
    ["reading", "value", "standard deviation", "largest by one landmark", "of"],
    rows.map(({ reading, unit, value, spread, largest, landmark }) => {
      const with_ = (x: number) => `${millimetres(x)}${unit === "1" ? "" : unit === "°" ? "°" : ` ${unit}`}`;
      return [reading, with_(value), with_(spread), with_(largest), landmark];
    }),
  );
}

/** The text of docs/accuracy.md. */
export const accuracyPage = ({
  grid,
  clear,
  sweeps,
  sensitivity,
}: Accuracy): string => `# How often the verdict is right, and what landmark error does

Made by \`npm run accuracy\` from invented arches drawn with known errors, fixed seeds; a test fails while this page is not what the code gives. It tests the rule and its arithmetic, not the errors themselves: whether the hand's 0.25 mm and the scanner's figures hold for a practice, only its own repeats can tell.

## Verdicts by true D

The arch widened by 4 mm in its middle; D is the change at the canines less that at the first molars, δ = 1.0 mm. Of ${GRID_DRAWS} draws in each cell, percent **right / wrong / left open** (undecided, or too scattered for one line). Right: a fan where |D| > δ, parallel where |D| ≤ δ. Near δ a right answer cannot be had often, so there it should be left open. Scanner in all columns: 0.05 mm at the canines rising to 0.12 mm at the first molars, correlated along the arch, 0.02 mm locally, on each scan. Pairs: ${PAIR_SETS.map((digits) => `${digits.length} are ${digits.map((d) => `${d}–${d}`).join(", ")}`).join("; ")}.

${gridTable(grid)}

## Clear cases

Every clear case of a grid of truths in steps of 0.1 mm (fans up to D = 3 mm, parallel widenings and changes of both signs), with all errors and numbers of pairs; u is the standard uncertainty of D, for no change of the fitted change at the less certain station. Simulated scans have no scanner error. 'Narrowed' counts as right of its own where the true change is negative, as the arch did become narrower; elsewhere as wrong. ${SWEEP_DRAWS} draws each, percent.

${sweepTable(sweeps)}

The part that the rule itself bounds: 'narrowed' stands on the 95 % interval of the mean change, which lies below 0 by chance in 2.5 % where the truth is 0. It is said then only where the 90 % intervals do not fit into ±0.5 mm at both stations, so it shows where u is near the 0.25 mm that no case without a change can exceed, and vanishes for smaller errors.

The same at their edges: cases as far from the bound of the rule as the first column says. ${CLEAR_DRAWS} draws each, percent. Errors that leave no such case have no row.

${clearTable(clear)}

Fans and parallel widenings that are decided are decided right. How often a case is decided follows from the rule: for 'parallel' and 'no change' a 90 % interval must fit inside the bound, so at 3u from it no more than 91 % can be decided and at 2u no more than 64 %; where the error is so large that the interval barely fits between both bounds, fewer. Three pairs and more also leave about 5 % open because their scatter exceeds its 95 % point by chance. Where nothing changed, 'parallel' is true as well and only says less.

## What ${LANDMARK_ERROR} mm of landmark error does

On an invented arch that opened 6.0 mm at the canines and 3.6 mm at the first molars, two thirds of it at the gingival level. Standard deviation of each reading when every landmark of both scans is off by ${LANDMARK_ERROR} mm (standard deviation) along each axis, independently; then the largest effect of a single landmark that is off by ${LANDMARK_ERROR} mm in the worst direction. By derivatives of the whole way from landmarks to reading, the arch frame included. Landmarks placed by hand on both scans; a carried landmark does much less (its error is the same on both). The palate is an invented vault, as much wider on the later scan as its gingival points. Halves and crowns are registered by their shape: their motions are known here, and landmarks enter only by the arch frame, the stations, the heights that are read there and, for the cusp drop, the cusps' points; the fit's own error comes on top.

${sensitivityTable(sensitivity)}
`;
