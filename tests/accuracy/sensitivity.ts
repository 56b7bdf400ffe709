import type { Landmark } from "#core/arch/landmark";
import { landmarkWords } from "#core/arch/landmark";
import { DEFAULT_SETTINGS } from "#core/case/case-document";
import { add, type Vector3 } from "#core/geometry/vector";
import type { BareMesh } from "#core/mesh/filled-holes";
import { ARCH_DEPTHS } from "#core/readings/arch-depth";
import type { ArchScan } from "#core/readings/arch-scan";
import { WIDTHS } from "#core/readings/catalogue";
import { crownHeightOf } from "#core/readings/crown-height";
import { inclinationOf, pairInclination, rotationOf } from "#core/readings/inclination";
import { MIDLINES } from "#core/readings/midline";
import { PERIMETERS } from "#core/readings/perimeter";
import type { ReadingDefinition } from "#core/readings/reading-definition";
import type {
  Given,
  HalvesReading,
  PalatalCuspDrop,
  PatternReading,
  WidthReading,
} from "#core/readings/readings-document";
import { readSpan, type SpanReadings } from "#core/readings/span-readings";
import { readTipping } from "#core/readings/tipping";
import type { TippingReading } from "#core/readings/tipping-document";
import type { PointSet } from "#core/readings/width";
import { leftPart, rightPart } from "#core/readings/width-parts";
import { heightField, movedMesh } from "../unit/mesh/palate-vaults";
import { archValue } from "../unit/readings/arch-values";
import { palateReadings, plainScan, valuesOn } from "../unit/readings/drawn-palate";
import { inventedArch, moving, type Spot } from "../unit/readings/invented-full-arch";
import { placedScans } from "../unit/readings/placed-scans";
import { knownCuspDrop, knownHalves } from "./known-motions";

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
  /** Of the palate on each scan, in the order of `PALATE`. */
  readonly palate: readonly [readonly number[], readonly number[]];
  readonly halves: HalvesReading;
  readonly drop: PalatalCuspDrop;
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
    unit: UNIT_WORDS[definition.unit] ?? definition.unit,
    value: ({ sets }) => value(sets[1]) - (after ? 0 : value(sets[0])),
  };
}

/** A hand steady enough that no reading is withheld; it enters the values looked at only by the line's weights. */
const SETTINGS = { ...DEFAULT_SETTINGS, pointWidth: 0.1 };
const PALATE = palateReadings();
const MOLAR_CUSPS = WIDTHS.find(({ pair, level }) => pair.name === "6-6" && level === "cusp-tip")!;
const UNIT_WORDS: Readonly<Record<string, string>> = { mm2: "mm²", mm3: "mm³", percent: "%", degrees: "°" };

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
  ofArch(rightPart(MOLAR_CUSPS)),
  ofArch(leftPart(MOLAR_CUSPS)),
  ...PALATE.map(({ name, unit }, i) => ({
    reading: `change of ${name}`,
    unit: UNIT_WORDS[unit] ?? unit,
    value: ({ palate: [before, after] }: Read) => after[i]! - before[i]!,
  })),
  { reading: "opening of the halves at the canines", unit: "mm", value: ({ halves }) => halves.atCanines.value },
  { reading: "opening of the halves at the molars", unit: "mm", value: ({ halves }) => halves.atMolars.value },
  { reading: "opening angle of the halves", unit: "°", value: ({ halves }) => halves.openingAngle.value },
  { reading: "roll of the halves", unit: "°", value: ({ halves }) => halves.roll.value },
  {
    reading: "drop of the palatal cusp of 16 against its half",
    unit: "mm",
    value: ({ drop }) => drop.againstHalf.value,
  },
  {
    reading: "drop of the palatal cusp of 16 against the buccal one",
    unit: "mm",
    value: ({ drop }) => drop.againstBuccalCusp!.value,
  },
];

const scanWith = (marks: readonly Landmark[], mesh: BareMesh): ArchScan =>
  plainScan(
    marks.map((mark) => ({ ...mark, tooth: mark.tooth ?? null })),
    mesh,
  );

/** What is read on one scan by itself is read once while the other scan's landmarks are moved. */
function once<T extends object>(read: (marks: readonly Landmark[]) => T): (marks: readonly Landmark[]) => T {
  const known = new WeakMap<readonly Landmark[], T>();
  return (marks) => {
    const found = known.get(marks) ?? read(marks);
    known.set(marks, found);
    return found;
  };
}

const palateBefore = once((marks) => valuesOn(PALATE, scanWith(marks, MESHES[0])));
const palateAfter = once((marks) => valuesOn(PALATE, scanWith(marks, MESHES[1])));
const motions = once((marks) => {
  const first = scanWith(marks, REGISTERED);
  return { halves: knownHalves(first, REGISTERED, SETTINGS), drop: knownCuspDrop(first, SETTINGS) };
});

/** Reads two scans' landmarks the whole way: each scan's arch frame from its own landmarks. */
function readAll(scans: readonly [readonly Landmark[], readonly Landmark[]]): Read {
  const sets = placedScans(scans);
  const span = readSpan(...sets, SETTINGS, "expansion");
  return {
    sets,
    span,
    tipping: readTipping(...sets, span.widths, new Set(), SETTINGS),
    palate: [palateBefore(scans[0]), palateAfter(scans[1])],
    ...motions(scans[0]),
  };
}

/** Station of the canines' cusp tips of the invented arch, mm behind the papilla. */
const CANINES = 0.7;

/** Widening at the cusps by station, mm; the gingival level two thirds of it. */
const widening = (y: number): number => 6 - 0.12 * (y - CANINES);
/** Invented vaults under the arch, the later one as much wider as its gingival points. */
const HALF_OF_VAULT = 20;
const height = (x: number): number => 18 - 0.03 * x * x;
const narrow = heightField(height, [-25, 25], [-9, 33], 2);
/** The region by which the halves were registered, in cells as fine as a scan's. */
const REGISTERED = heightField(height, [-12, 12], [0.1, 26.1], 0.5);
const MESHES = [narrow, movedMesh(narrow, ([x, y, z]) => [x * (1 + widening(y) / 3 / HALF_OF_VAULT), y, z])] as const;

/** The invented arch opened more in front; at the gingival level two thirds of it, so that the crowns tipped. */
const opened = (): Spot[] =>
  moving(inventedArch(), ({ tooth, place, at: [x, y, z] }) => {
    if (tooth === null) return [x, y, z];
    const apart = widening(y) * (place.includes("gingival") ? 2 / 3 : 1);
    return [x + (Math.sign(x) * apart) / 2, y, z];
  });

/** One row per reading, on an invented arch that opened more in front and tipped. */
export function sensitivities(): Sensitivity[] {
  const scans = [inventedArch(), opened()].map((spots) =>
    spots.map(({ tooth, place, at }): Landmark => ({ ...(tooth === null ? {} : { tooth }), place, at: [...at] })),
  ) as [Landmark[], Landmark[]];
  const valuesAt = (scan: number, mark: number, off: Vector3): number[] => {
    const moved = scans.map((marks, s) =>
      s !== scan
        ? marks
        : marks.map(
            (landmark, m): Landmark => (m === mark ? { ...landmark, at: [...add(landmark.at, off)] } : landmark),
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
