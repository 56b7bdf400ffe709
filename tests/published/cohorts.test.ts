import { describe, expect, test } from "vitest";
import { DEGREES } from "#core/geometry/real";
import {
  apply,
  compose,
  fromRotationVector,
  IDENTITY,
  invert,
  type RigidTransform,
} from "#core/geometry/rigid-transform";
import { seededRandom } from "#core/geometry/seeded-random";
import type { Vector3 } from "#core/geometry/vector";
import { WIDTHS } from "#core/readings/catalogue";
import { type CrownInput, pairAngle } from "#core/readings/crowns";
import type { Given, WidthLevel } from "#core/readings/readings-document";
import { readSpan } from "#core/readings/span-readings";
import type { Assumptions } from "#core/readings/uncertainty";
import type { PointSet } from "#core/readings/width";
import { SIMULATED } from "../unit/readings/invented-arch";
import { normalFrom, Spread } from "../unit/readings/normal-draws";

/**
 * Cohorts simulated from published means and standard deviations: landmarks of every patient whose widths change as
 * drawn, each scan in a pose of its own, read the whole way. Mean and standard deviation must come back within their
 * sampling error (4 standard errors; fixed seeds), and each patient's change as drawn.
 */

interface Published {
  readonly pair: string;
  readonly level: WidthLevel;
  /** mm */
  readonly mean: number;
  readonly deviation: number;
}

/** Simulated patients for each of the study. */
const TIMES = 20;

/** Invented widths before and stations of the pairs, mm. */
const PLACES: Readonly<Record<string, readonly [width: number, station: number]>> = {
  "3-3": [33, 0],
  "III-III": [31, 0],
  "4-4": [41, 7],
  "IV-IV": [39, 7],
  "5-5": [46, 14],
  "V-V": [44, 14],
  "6-6": [50, 22],
};

const given = <T>(reading: Given<T>): T => {
  if (reading.state === "withheld") throw new Error(reading.reason.text);
  return reading.reading;
};

/** Landmarks at the given widths, in a file's pose. */
function arch(timepoint: string, widths: readonly { of: Published; width: number }[], pose: RigidTransform): PointSet {
  const points = widths.flatMap(({ of, width }) => {
    const { pair, place } = WIDTHS.find((d) => d.pair.name === of.pair && d.level === of.level)!;
    const [, station] = PLACES[of.pair]!;
    const height = of.level === "palatal-gingival" ? 7 : 0;
    return ([-1, 1] as const).map((side) => {
      const inFrame: Vector3 = [(side * width) / 2, station, height];
      return { tooth: side < 0 ? pair.right : pair.left, place, at: apply(pose, inFrame), inFrame };
    });
  });
  return { timepoint, points, faults: [] };
}

/** A cohort with each step's changes drawn; per step and width what was read. */
function cohort(n: number, steps: readonly (readonly Published[])[], seed: number): Spread[][] {
  const normal = normalFrom(seededRandom(seed));
  const pose = (): RigidTransform =>
    fromRotationVector([normal(), normal(), normal()], [20 * normal(), 20 * normal(), 20 * normal()]);
  const spreads = steps.map((step) => step.map(() => new Spread()));
  for (let patient = 0; patient < n * TIMES; patient++) {
    let widths = steps[0]!.map((of) => ({
      of,
      width: PLACES[of.pair]![0] - (of.level === "palatal-gingival" ? 11 : 0) + 2 * normal(),
    }));
    let before = arch("T0", widths, pose());
    steps.forEach((step, s) => {
      const drawn = step.map(({ mean, deviation }) => mean + deviation * normal());
      widths = widths.map(({ of, width }, i) => ({ of, width: width + drawn[i]! }));
      const after = arch(`T${s + 1}`, widths, pose());
      const read = readSpan(before, after, SIMULATED, s === 0 ? "expansion" : "retention");
      step.forEach(({ pair, level }, i) => {
        const change = given(read.widths.find((w) => w.pair === pair && w.level === level)!.change).value;
        expect(Math.abs(change - drawn[i]!)).toBeLessThan(1e-9);
        spreads[s]![i]!.add(change);
      });
      before = after;
    });
  }
  return spreads;
}

const within = (spread: Spread, { mean, deviation }: Pick<Published, "mean" | "deviation">, n: number): void => {
  const patients = n * TIMES;
  expect(Math.abs(spread.mean - mean)).toBeLessThan((4 * deviation) / Math.sqrt(patients));
  expect(Math.abs(spread.deviation - deviation)).toBeLessThan((4 * deviation) / Math.sqrt(2 * patients));
};

const cusp = (pair: string, mean: number, deviation: number): Published => ({
  pair,
  level: "cusp-tip",
  mean,
  deviation,
});
const gingival = (pair: string, mean: number, deviation: number): Published => ({
  pair,
  level: "palatal-gingival",
  mean,
  deviation,
});

describe("changes of width", () => {
  test.each<[string, number, readonly Published[]]>([
    [
      "tooth-borne rapid expansion in the mixed dentition (PMC10463527, Table 2; n about 17 from its interval)",
      17,
      [
        cusp("III-III", 4.18, 2.01),
        cusp("4-4", 5.05, 1.81),
        cusp("V-V", 5.52, 1.31),
        cusp("6-6", 5.32, 1.13),
        gingival("III-III", 2.65, 2.61),
        gingival("6-6", 4.01, 1.08),
      ],
    ],
    [
      "tooth-borne expander, adolescents (Toklu 2015, AJODO 148:97-109), n = 13",
      13,
      [cusp("4-4", 7.5, 4.2), cusp("5-5", 7.9, 3.3)],
    ],
    [
      "hybrid miniscrew expander, adolescents (Toklu 2015, AJODO 148:97-109), n = 12",
      12,
      [cusp("4-4", 3.2, 2.6), cusp("5-5", 4.5, 3.8)],
    ],
  ])("%s", (_, n, published) => {
    const [read] = cohort(n, [published], 51);
    published.forEach((of, i) => {
      within(read![i]!, of, n);
    });
  });

  test.each<[string, number, Published, Published]>([
    ["Chamberland & Proffit 2011 (AJODO 139:815-822), n = 38", 38, cusp("6-6", 7.6, 1.57), cusp("6-6", -1.83, 1.83)],
    [
      "Chamberland & Proffit 2008 (J Oral Maxillofac Surg), n = 20",
      20,
      cusp("6-6", 7.48, 1.39),
      cusp("6-6", -2.22, 1.39),
    ],
  ])("surgically assisted expansion and what was lost of it: %s", (_, n, gain, loss) => {
    const [gained, lost] = cohort(n, [[gain], [loss]], 52);
    within(gained![0]!, gain, n);
    within(lost![0]!, loss, n);
  });
});

describe("widths of one scan", () => {
  // Mutinelli 2015 (s40510-015-0093-x), Table 3: 20 children each, canines and first molars.
  test.each([
    ["treated", [cusp("3-3", 32.2, 2), cusp("6-6", 49.6, 2.3)]],
    ["with a crossbite", [cusp("3-3", 30.3, 3.1), cusp("6-6", 44.5, 2.4)]],
    ["without a crossbite", [cusp("3-3", 31.8, 2), cusp("6-6", 47.9, 2.9)]],
  ] as const)("%s (Mutinelli 2015, s40510-015-0093-x, Table 3), n = 20", (_, published) => {
    const normal = normalFrom(seededRandom(53));
    const spreads = published.map(() => new Spread());
    for (let patient = 0; patient < 20 * TIMES; patient++) {
      const pose = fromRotationVector([normal(), normal(), normal()], [20 * normal(), 20 * normal(), 20 * normal()]);
      const drawn = published.map((of) => ({ of, width: of.mean + of.deviation * normal() }));
      const scan = arch("T3", drawn, pose);
      const { widths } = readSpan(scan, { timepoint: "none", points: [], faults: [] }, SIMULATED, "expansion");
      published.forEach(({ pair }, i) => {
        spreads[i]!.add(given(widths.find((w) => w.pair === pair && w.level === "cusp-tip")!.before).value);
      });
    }
    published.forEach((of, i) => {
      within(spreads[i]!, of, 20);
    });
  });
});

test("inclination of the first molars, both sides together (PMC10463527, Table 2: 9.64 ± 7.02 degrees to the cheek, printed with a minus)", () => {
  const normal = normalFrom(seededRandom(54));
  const exact: Assumptions = SIMULATED;
  const spread = new Spread();
  const molar = (side: 1 | -1, degrees: number, before: RigidTransform, after: RigidTransform): CrownInput => {
    const middle: Vector3 = [side * 24, 22, 3];
    const tip = fromRotationVector([0, (-side * degrees) / DEGREES, 0], [side * 2, 0, 0], middle);
    return {
      crown: {
        transform: compose(after, compose(tip, invert(before))),
        covariance: new Float64Array(36),
        centre: apply(after, middle),
      },
      axes: [
        [0, -1, 0],
        [side, 0, 0],
        [0, 0, -1],
      ],
      middle: apply(before, middle),
      toFrame: invert(before),
      axesTurn: [0, 0, 0],
      share: 1,
      archLength: 22,
    };
  };
  for (let patient = 0; patient < 17 * TIMES; patient++) {
    const total = 9.64 + 7.02 * normal();
    const right = total / 2 + normal();
    const [before, after] = [0, 1].map(() =>
      fromRotationVector([normal(), normal(), normal()], [20 * normal(), 20 * normal(), 20 * normal()]),
    ) as [RigidTransform, RigidTransform];
    const angle = pairAngle(molar(-1, right, before, after), molar(1, total - right, before, after), exact).value;
    expect(angle).toBeCloseTo(total, 9);
    spread.add(angle);
  }
  within(spread, { mean: 9.64, deviation: 7.02 }, 17);
});

describe("front to back, each as its study prints it", () => {
  const ratioOf = (front: Published, back: Published) => {
    const of = [front, back];
    const sets = [0, 1].map((step) =>
      arch(
        `T${step}`,
        of.map((p) => ({ of: p, width: PLACES[p.pair]![0] + step * p.mean })),
        IDENTITY,
      ),
    ) as [PointSet, PointSet];
    const pattern = given(readSpan(...sets, SIMULATED, "expansion").patterns[0]!);
    return given(pattern.frontToBack);
  };

  test.each([
    ["canines to first molars (PMC10463527, Table 2)", cusp("3-3", 4.18, 0), 5.32, "3-3 : 6-6", 0.7857],
    ["first premolars to first molars (PMC10463527, Table 2)", cusp("4-4", 5.05, 0), 5.32, "4-4 : 6-6", 0.9492],
    [
      "first premolars to first molars (Dental Press J Orthod 2014, S2176-94512014000500088)",
      cusp("4-4", 5.57, 0),
      5.5,
      "4-4 : 6-6",
      1.0127,
    ],
  ])("%s", (_, front, molars, of, ratio) => {
    const found = ratioOf(front, cusp("6-6", molars, 0));
    expect(found.of).toBe(of);
    expect(found.ratio.value).toBeCloseTo(ratio, 4);
  });
});
