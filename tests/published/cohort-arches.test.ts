import { expect, test } from "vitest";
import { fromRotationVector } from "#core/geometry/rigid-transform";
import { seededRandom } from "#core/geometry/seeded-random";
import { ARCH_DEPTHS } from "#core/readings/arch-depth";
import { PERIMETERS } from "#core/readings/perimeter";
import type { ReadingDefinition } from "#core/readings/reading-definition";
import { spanReading } from "#core/readings/span-reading";
import { SIMULATED } from "../unit/readings/invented-arch";
import { inventedArch, moving, type Spot, scanOf } from "../unit/readings/invented-full-arch";
import { normalFrom, Spread } from "../unit/readings/normal-draws";

/**
 * Cohorts simulated from published means and standard deviations of arch depth and perimeter: every patient's arch is
 * shaped to the drawn figure and read the whole way, each scan in a pose of its own. Mean and standard deviation must
 * come back within their sampling error (4 standard errors; fixed seeds), and each patient's figure as drawn.
 */

/** Simulated patients for each of the study. */
const TIMES = 3;

const normal = normalFrom(seededRandom(81));
const pose = () => fromRotationVector([normal(), normal(), normal()], [20 * normal(), 20 * normal(), 20 * normal()]);

const onScans = (definition: ReadingDefinition, before: readonly Spot[], after: readonly Spot[]) => {
  const [first, second] = [before, after].map((spots, i) => scanOf(`T${i}`, spots, SIMULATED, pose()));
  const reading = spanReading(definition, first!, second!, SIMULATED);
  if (reading.before.state === "withheld" || reading.change.state === "withheld") throw new Error("withheld");
  return { before: reading.before.reading.value, change: reading.change.reading.value };
};

/** The incisors moved to the front, so that the arch is deeper by as much. */
const deeper = (spots: readonly Spot[], by: number): Spot[] =>
  moving(spots, ({ tooth, at: [x, y, z] }) => [x, tooth !== null && tooth % 10 <= 2 ? y - by : y, z]);

/** Canines and premolars moved outwards, whatever it does to the perimeter. */
const rounder = (spots: readonly Spot[], by: number): Spot[] =>
  moving(spots, ({ tooth, at: [x, y, z] }) => {
    const moves = tooth !== null && [3, 4, 5].includes(tooth % 10);
    return [moves ? x + Math.sign(x) * by : x, y, z];
  });

function expectCohort(spread: Spread, mean: number, deviation: number, patients: number): void {
  expect(Math.abs(spread.mean - mean)).toBeLessThan((4 * deviation) / Math.sqrt(patients));
  expect(Math.abs(spread.deviation - deviation)).toBeLessThan((4 * deviation) / Math.sqrt(2 * patients));
}

test.each([
  ["treated", 29.8, 1.7],
  ["with a crossbite", 31.8, 1.7],
  ["without a crossbite", 32.1, 2],
])("molar depth, children %s (Mutinelli 2015, s40510-015-0093-x, Table 3), n = 20", (_, mean, deviation) => {
  const spread = new Spread();
  const [depth] = ARCH_DEPTHS;
  const nominal = onScans(depth!, inventedArch(), inventedArch()).before;
  for (let patient = 0; patient < 20 * TIMES; patient++) {
    const drawn = mean + deviation * normal();
    const arch = deeper(inventedArch(), drawn - nominal);
    const read = onScans(depth!, arch, arch);
    expect(read.before).toBeCloseTo(drawn, 9);
    spread.add(read.before);
  }
  expectCohort(spread, mean, deviation, 20 * TIMES);
});

test("change of depth in tooth-borne rapid expansion, −0.36 ± 0.75 mm (PMC10463527, Table 2; n about 17 from its interval)", () => {
  const spread = new Spread();
  for (let patient = 0; patient < 17 * TIMES; patient++) {
    const drawn = -0.36 + 0.75 * normal();
    const { change } = onScans(ARCH_DEPTHS[0]!, inventedArch(), deeper(inventedArch(), drawn));
    expect(change).toBeCloseTo(drawn, 9);
    spread.add(change);
  }
  expectCohort(spread, -0.36, 0.75, 17 * TIMES);
});

test("change of perimeter in tooth-borne rapid expansion, 3.32 ± 1.86 mm (PMC10463527, Table 2; n about 17)", () => {
  const spread = new Spread();
  /** Four straight segments over the mesial of the first premolars, by hand: mm. */
  const perimeter = (spots: readonly Spot[]): number => {
    const at = (tooth: number) => spots.find((s) => s.tooth === tooth && s.place === "mesial-contact")!.at;
    const front = [0, 1, 2].map((k) => (at(11)[k]! + at(21)[k]!) / 2);
    const way = [at(16), at(14), front, at(24), at(26)];
    return way.slice(1).reduce((sum, p, i) => sum + Math.hypot(...p.map((v, k) => v - way[i]![k]!)), 0);
  };
  const before = inventedArch();
  const nominal = perimeter(before);
  for (let patient = 0; patient < 17 * TIMES; patient++) {
    const drawn = 3.32 + 1.86 * normal();
    // How far forwards the incisors must move for the drawn perimeter, by halving.
    let [low, high] = [-8, 8];
    for (let i = 0; i < 60; i++) {
      const middle = (low + high) / 2;
      if (perimeter(rounder(deeper(before, middle), 1)) - nominal < drawn) low = middle;
      else high = middle;
    }
    const { change } = onScans(PERIMETERS[0]!, before, rounder(deeper(before, low), 1));
    expect(change).toBeCloseTo(drawn, 9);
    spread.add(change);
  }
  expectCohort(spread, 3.32, 1.86, 17 * TIMES);
});
