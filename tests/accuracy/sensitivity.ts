import type { Landmark } from "#core/arch/landmark";
import { landmarkWords } from "#core/arch/landmark";
import { DEFAULT_SETTINGS } from "#core/case/case-document";
import { add, type Vector3 } from "#core/geometry/vector";
import { ARCH_DEPTHS } from "#core/readings/arch-depth";
import { crownHeightOf } from "#core/readings/crown-height";
import { inclinationOf, pairInclination, rotationOf } from "#core/readings/inclination";
import { MIDLINES } from "#core/readings/midline";
import { PERIMETERS } from "#core/readings/perimeter";
import type { ReadingDefinition } from "#core/readings/reading-definition";
import type { Given, PatternReading, WidthReading } from "#core/readings/readings-document";
import { readSpan, type SpanReadings } from "#core/readings/span-readings";
import { readTipping } from "#core/readings/tipping";
import type { TippingReading } from "#core/readings/tipping-document";
import type { PointSet } from "#core/readings/width";
import { archValue } from "../unit/readings/arch-values";
import { inventedArch, moving, type Spot } from "../unit/readings/invented-full-arch";
import { placedScans } from "../unit/readings/placed-scans";

/** What errors of the landmarks do to each reading, by derivatives on the invented arch. */
export interface Sensitivity {
  readonly reading: string;
  readonly unit: string;
  readonly value: number;
  /** Standard deviation with every landmark off by `LANDMARK_ERROR` along each axis, independently. */
  readonly spread: number;
  /** The largest effect of one landmark off by that much, in the direction that matters most. */
  readonly largest: number;
  readonly landmark: string;
}

export const LANDMARK_ERROR = 0.25;
const STEP = 0.01;

/** Everything that is read from the landmarks of two scans. */
interface Read {
  readonly sets: readonly [PointSet, PointSet];
  readonly span: SpanReadings;
  readonly tipping: readonly TippingReading[];
}

const given = <T>(reading: Given<T>): T => {
  if (reading.state === "withheld") throw new Error(reading.reason.text);
  return reading.reading;
};
const width = ({ span }: Read, pair: string, level: WidthReading["level"]) =>
  span.widths.find((w) => w.pair === pair && w.level === level)!;
const change = (pair: string, level: WidthReading["level"]) => (read: Read) =>
  given(width(read, pair, level).change).value;
const cusps = ({ span }: Read): PatternReading => given(span.patterns[0]!);
const tipping = ({ tipping: list }: Read, pair: string) => list.find((t) => t.pair === pair)!;

/** A reading of the arch as a row: its change, or its value after. */
function ofArch(
  definition: ReadingDefinition,
  after = false,
): { reading: string; unit: string; value: (read: Read) => number } {
  const value = archValue(definition);
  return {
    reading: `${after ? "" : "change of "}${definition.name}`,
    unit: definition.unit === "degrees" ? "°" : definition.unit,
    value: ({ sets }) => value(sets[1]) - (after ? 0 : value(sets[0])),
  };
}

/** The readings looked at, in the page's order: a row each, its value from everything read. */
const ROWS: readonly { readonly reading: string; readonly unit: string; readonly value: (read: Read) => number }[] = [
  {
    reading: "width 6–6, cusp tips, one scan",
    unit: "mm",
    value: (r) => given(width(r, "6-6", "cusp-tip").before).value,
  },
  { reading: "change 3–3, cusp tips", unit: "mm", value: change("3-3", "cusp-tip") },
  { reading: "change 6–6, cusp tips", unit: "mm", value: change("6-6", "cusp-tip") },
  { reading: "change 6–6, palatal gingival points", unit: "mm", value: change("6-6", "palatal-gingival") },
  { reading: "D, canines less first molars", unit: "mm", value: (r) => cusps(r).difference.value },
  { reading: "slope of the change", unit: "mm per 10 mm", value: (r) => cusps(r).slopePer10mm.value },
  { reading: "opening angle of the teeth", unit: "°", value: (r) => cusps(r).openingAngleOfTeeth.value },
  { reading: "front : back, 3–3 : 6–6", unit: "1", value: (r) => given(cusps(r).frontToBack).ratio.value },
  { reading: "hinge of the fitted line behind the canines", unit: "mm", value: (r) => given(cusps(r).hinge).value },
  { reading: "gingival : cusp at 6–6", unit: "1", value: (r) => given(tipping(r, "6-6").gingivalToCusp).value },
  {
    reading: "pivot above the gingival points at 6–6",
    unit: "mm",
    value: (r) => given(tipping(r, "6-6").pivotAboveGingival).value,
  },
  {
    reading: "tipping of 16 from its points",
    unit: "°",
    value: (r) => given(tipping(r, "6-6").anglesFromPoints[0]!.angle).value,
  },
  ...ARCH_DEPTHS.map((definition) => ofArch(definition)),
  ofArch(PERIMETERS[0]!),
  ...MIDLINES.map((definition) => ofArch(definition, true)),
  ofArch(inclinationOf(16)),
  ofArch(pairInclination("6–6", 16, 26)),
  ofArch(rotationOf(16)),
  ofArch(inclinationOf(11)),
  ofArch(crownHeightOf(16)),
];

/** Reads two scans' landmarks the whole way: each scan's arch frame from its own landmarks. */
function readAll(scans: readonly [readonly Landmark[], readonly Landmark[]]): Read {
  const sets = placedScans(scans);
  // A hand steady enough that no reading is withheld; it does not enter the values looked at but by the line's weights.
  const settings = { ...DEFAULT_SETTINGS, pointWidth: 0.1 };
  const span = readSpan(...sets, settings, "expansion");
  return { sets, span, tipping: readTipping(...sets, span.widths, new Set(), settings) };
}

/** The invented arch opened more in front; at the gingival level two thirds of it, so that the crowns tipped. */
const opened = (): Spot[] =>
  moving(inventedArch(), ({ tooth, place, at: [x, y, z] }) => {
    if (tooth === null) return [x, y, z];
    const widening = (6 - 0.12 * (y - CANINES)) * (place.includes("gingival") ? 2 / 3 : 1);
    return [x + (Math.sign(x) * widening) / 2, y, z];
  });

/** Station of the canines' cusp tips of the invented arch, mm behind the papilla. */
const CANINES = 0.7;

/** One row per reading, on an invented arch that opened more in front and tipped. */
export function sensitivities(): Sensitivity[] {
  const scans = [inventedArch(), opened()].map((spots) =>
    spots.map(({ tooth, place, at }): Landmark => ({ ...(tooth === null ? {} : { tooth }), place, at: [...at] })),
  ) as [Landmark[], Landmark[]];
  const valuesAt = (scan: number, mark: number, off: Vector3): number[] => {
    const moved = scans.map((marks, s) =>
      marks.map(
        (landmark, m): Landmark =>
          s === scan && m === mark ? { ...landmark, at: [...add(landmark.at, off)] } : landmark,
      ),
    ) as [Landmark[], Landmark[]];
    const read = readAll(moved);
    return ROWS.map(({ value }) => value(read));
  };
  const middle = readAll(scans);
  const sums = ROWS.map(() => 0);
  const largest = ROWS.map(() => ({ effect: 0, landmark: "" }));
  scans.forEach((marks, scan) => {
    marks.forEach((landmark, mark) => {
      const gradients = (
        [
          [1, 0, 0],
          [0, 1, 0],
          [0, 0, 1],
        ] as const
      ).map((axis) => {
        const step = (sign: number): Vector3 => [axis[0] * sign * STEP, axis[1] * sign * STEP, axis[2] * sign * STEP];
        const [above, below] = [valuesAt(scan, mark, step(1)), valuesAt(scan, mark, step(-1))];
        return above.map((value, i) => (value - below[i]!) / (2 * STEP));
      });
      ROWS.forEach((_, i) => {
        const squares = gradients.reduce((sum, g) => sum + g[i]! * g[i]!, 0);
        sums[i]! += squares;
        const effect = LANDMARK_ERROR * Math.sqrt(squares);
        // Left and right are alike to the last digits: the first named stays.
        if (effect > largest[i]!.effect * (1 + 1e-6)) largest[i] = { effect, landmark: landmarkWords(landmark) };
      });
    });
  });
  return ROWS.map(({ reading, unit, value }, i) => ({
    reading,
    unit,
    value: value(middle),
    spread: LANDMARK_ERROR * Math.sqrt(sums[i]!),
    largest: largest[i]!.effect,
    landmark: largest[i]!.landmark,
  }));
}
