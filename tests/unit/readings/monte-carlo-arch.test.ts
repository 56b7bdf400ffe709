import { expect, test } from "vitest";
import { archFrame, commonPlanePairs } from "#core/arch/arch-frame";
import type { Landmark } from "#core/arch/landmark";
import { DEGREES } from "#core/geometry/real";
import { apply, fromRotationVector } from "#core/geometry/rigid-transform";
import { seededRandom } from "#core/geometry/seeded-random";
import type { Vector3 } from "#core/geometry/vector";
import { ARCH_DEPTHS } from "#core/readings/arch-depth";
import { crownHeightOf } from "#core/readings/crown-height";
import { inclinationOf, pairInclination, rotationOf } from "#core/readings/inclination";
import { MIDLINES } from "#core/readings/midline";
import { PERIMETERS } from "#core/readings/perimeter";
import { fromPoints, type ReadingDefinition, spot } from "#core/readings/reading-definition";
import { spanReading } from "#core/readings/span-reading";
import { type Assumptions, RAPHE_POINT } from "#core/readings/uncertainty";
import type { PointSet } from "#core/readings/width";
import { archValue } from "./arch-values";
import { inventedArch, moving, type Spot, scanOf } from "./invented-full-arch";
import { normalFrom, Spread } from "./normal-draws";

/**
 * The hand's part in readings of the arch against 20,000 draws of every landmark, each scan's arch frame made anew from
 * its drawn landmarks (GUM Supplement 1, JCGM 101:2008): within 5 %.
 */
const DRAWS = 20_000;
const HAND: Assumptions = { delta: 1, pointWidth: 0.25, scanner: { atCanines: 0, atMolars: 0, local: 0 } };

const side = (tooth: number): 1 | -1 => (tooth >= 20 ? 1 : -1);
/** The invented arch with a gap between its incisors that is large beside the hand's error. */
const before = moving(inventedArch(), ({ tooth, at: [x, y, z] }) => [tooth === null ? x : x + 1.5 * side(tooth), y, z]);
/** Opened by 3 mm to each side, the molars tipped by 6 degrees to the cheek about points in their roots. */
const after = moving(before, ({ tooth, at }): Vector3 => {
  if (tooth === null) return at;
  const out = 3 * side(tooth);
  const turn = fromRotationVector([0, (-side(tooth) * 6) / DEGREES, 0], [out, 0, 0], [side(tooth) * 24, 23, 12]);
  return tooth % 10 >= 6 ? apply(turn, at) : [at[0] + out, at[1], at[2]];
});

/** The part of a width on one side of the median plane. */
const rightPart = fromPoints(
  {
    name: "right part of 6–6",
    by: "",
    unit: "mm",
    teeth: [16, 26],
    spots: [spot(16, "mesiobuccal-cusp-tip")],
    basis: "median-plane",
  },
  ([right]) => -right![0],
);

const DEFINITIONS: readonly ReadingDefinition[] = [
  ...ARCH_DEPTHS,
  PERIMETERS[0]!,
  ...MIDLINES,
  rightPart,
  inclinationOf(16),
  inclinationOf(13),
  inclinationOf(11),
  rotationOf(26),
  pairInclination("6–6", 16, 26),
  crownHeightOf(14),
];

/** The spots that the readings and the arch frame stand on. */
const needed = (spots: readonly Spot[]): Spot[] =>
  spots.filter(
    ({ tooth, place }) =>
      tooth === null ||
      (place.endsWith("cusp-tip") && [3, 4, 6].includes(tooth % 10)) ||
      DEFINITIONS.some((d) => d.spots.some((one) => one.tooth === tooth && one.place === place)),
  );

function drawn(spots: readonly Spot[], pairs: ReturnType<typeof commonPlanePairs>, normal: () => number): PointSet {
  const points = spots.map(({ tooth, place, at }) => {
    const size = place === "median-raphe" ? RAPHE_POINT : HAND.pointWidth / Math.SQRT2;
    return { tooth, place, at: [at[0] + size * normal(), at[1] + size * normal(), at[2] + size * normal()] as Vector3 };
  });
  const marks = points.map(
    ({ tooth, place, at }): Landmark => ({ ...(tooth === null ? {} : { tooth }), place, at: [...at] }),
  );
  const { toFrame } = archFrame(marks, pairs, "drawn");
  return { timepoint: "drawn", faults: [], points: points.map((p) => ({ ...p, inFrame: apply(toFrame, p.at) })) };
}

test("depth, perimeter, midline, parts, inclination, rotation and height of crowns have the error that the draws have", () => {
  const normal = normalFrom(seededRandom(71));
  const scans = [needed(before), needed(after)] as const;
  const pairs = commonPlanePairs([
    scans[0].map(({ tooth, place, at }): Landmark => ({ ...(tooth === null ? {} : { tooth }), place, at: [...at] })),
  ]);
  const values = DEFINITIONS.map(archValue);
  const spreads = DEFINITIONS.map(() => ({ before: new Spread(), change: new Spread() }));
  for (let i = 0; i < DRAWS; i++) {
    const sets = scans.map((spots) => drawn(spots, pairs, normal)) as [PointSet, PointSet];
    values.forEach((value, k) => {
      const [a, b] = [value(sets[0]), value(sets[1])];
      spreads[k]!.before.add(a);
      spreads[k]!.change.add(b - a);
    });
  }
  const [first, second] = scans.map((spots, i) => scanOf(["before", "after"][i]!, spots, HAND));
  DEFINITIONS.forEach((definition, k) => {
    const { largestUncertainty: _, ...unlimited } = definition;
    const reading = spanReading(unlimited, first!, second!, HAND);
    for (const key of ["before", "change"] as const) {
      const given = reading[key];
      if (given.state === "withheld") throw new Error(given.reason.text);
      const ratio = given.reading.standardUncertainty / spreads[k]![key].deviation;
      expect(ratio, `${definition.name}, ${key}`).toBeGreaterThan(0.95);
      expect(ratio, `${definition.name}, ${key}`).toBeLessThan(1.05);
    }
  });
});
