import { describe, expect, test } from "vitest";
import { halfMotion } from "#core/geometry/half-motion";
import { DEGREES } from "#core/geometry/real";
import {
  apply,
  compose,
  fromRotationVector,
  invert,
  type RigidTransform,
  rotate,
  rotationVector,
} from "#core/geometry/rigid-transform";
import { seededRandom } from "#core/geometry/seeded-random";
import { cross, dot, length, subtract, type Vector3 } from "#core/geometry/vector";
import {
  type CrownInput,
  crownMotion,
  halfReference,
  pairAngle,
  palatalCuspDrop,
  wholeReference,
} from "#core/readings/crowns";
import { type HalvesInput, type MovedHalf, readHalves } from "#core/readings/halves";
import type { Assumptions } from "#core/readings/uncertainty";
import { NORMAL_95 } from "#core/statistics/quantiles";
import { normalFrom, Spread } from "./normal-draws";

/**
 * Propagated errors of registered motions against 20,000 draws (GUM Supplement 1, JCGM 101:2008): within 5 %. Fits are
 * drawn from full covariances, and every value is computed from the drawn motions by itself.
 */
const DRAWS = 20_000;
const POSES = {
  before: fromRotationVector([0.4, -0.3, 1.1], [30, -12, 50]),
  after: fromRotationVector([-0.6, 0.2, -0.8], [-10, 22, 5]),
};
const ASSUMED: Assumptions = {
  delta: 1,
  pointWidth: 0.25,
  scanner: { atCanines: 0.05, atMolars: 0.12, local: 0.02 },
};
const NO_SCANNER: Assumptions = { ...ASSUMED, scanner: { atCanines: 0, atMolars: 0, local: 0 } };

/** A fit's errors with all its correlations: covariance L·Lᵀ and a draw L·n. */
class FitErrors {
  private readonly lower: number[][];
  readonly covariance = new Float64Array(36);

  constructor(seed: number) {
    const random = seededRandom(seed);
    const sizes = [0.0012, 0.0009, 0.0015, 0.02, 0.03, 0.015];
    this.lower = sizes.map((size, i) =>
      sizes.map((_, j) => (j > i ? 0 : size * (i === j ? 0.6 + 0.4 * random() : random() - 0.5))),
    );
    for (let i = 0; i < 6; i++)
      for (let j = 0; j < 6; j++)
        for (let k = 0; k < 6; k++) this.covariance[6 * i + j]! += this.lower[i]![k]! * this.lower[j]![k]!;
  }

  draw({ transform, centre }: MovedHalf, normal: () => number): RigidTransform {
    const n = Array.from({ length: 6 }, normal);
    const d = this.lower.map((row) => row.reduce((sum, factor, k) => sum + factor * n[k]!, 0));
    return compose(fromRotationVector([d[0]!, d[1]!, d[2]!], [d[3]!, d[4]!, d[5]!], centre), transform);
  }
}

const [RIGHT, LEFT, CROWN, OTHER] = [1, 2, 3, 4].map((seed) => new FitErrors(seed)) as [
  FitErrors,
  FitErrors,
  FitErrors,
  FitErrors,
];

const moved = (motion: RigidTransform, middle: Vector3, errors: FitErrors): MovedHalf => ({
  transform: compose(POSES.after, compose(motion, invert(POSES.before))),
  covariance: errors.covariance,
  centre: apply(POSES.after, apply(motion, middle)),
});
const turned = (degrees: Vector3, about: Vector3, shift: Vector3 = [0, 0, 0]): RigidTransform =>
  fromRotationVector(degrees.map((d) => d / DEGREES) as unknown as Vector3, shift, about);
const vector = (normal: () => number, sizes: Vector3): Vector3 => [
  sizes[0] * normal(),
  sizes[1] * normal(),
  sizes[2] * normal(),
];

const within5 = (claimed: number, drawn: number, what: string): void => {
  expect(claimed / drawn, what).toBeGreaterThan(0.95);
  expect(claimed / drawn, what).toBeLessThan(1.05);
};

describe("the halves of the palate", () => {
  const input: HalvesInput = {
    of: "palate",
    right: moved(turned([1, 1.5, -3], [1, 45, 18], [-0.3, 0.2, 0.1]), [-9, 18, 15], RIGHT),
    left: moved(turned([-0.5, -2, 3.2], [-1, 44, 20], [0.2, -0.1, 0.3]), [9, 18, 15], LEFT),
    toFrame: invert(POSES.before),
    front: { y: 8, height: 10, words: "the canines" },
    back: { y: 28, height: 16, words: "the first molars" },
    canines: 8,
    cusps: { canines: 8, molars: 28 },
    frameTurn: [0.04, 0.04, 0.04],
    stationError: 0.5,
  };
  const keys = [
    "atCanines",
    "atMolars",
    "openingAngle",
    "roll",
    "pitch",
    "forwardShift",
    "occlusalShift",
    "turn",
  ] as const;

  /** Openings and turns straight from the drawn motions: how far two copies of a midline point came apart. */
  function valuesOf(right: RigidTransform, left: RigidTransform, toFrame: RigidTransform, station: number) {
    const m = compose(toFrame, compose(compose(invert(right), left), invert(toFrame)));
    const half = halfMotion(m);
    const apart = (y: number, z: number): Vector3 => {
      const p: Vector3 = [0, y + station, z];
      return subtract(apply(half, p), apply(invert(half), p));
    };
    const [x, y, z] = rotationVector(m);
    const middle = apart(18, 13);
    return {
      atCanines: apart(8, 10)[0],
      atMolars: apart(28, 16)[0],
      openingAngle: z * DEGREES,
      roll: -y * DEGREES,
      pitch: x * DEGREES,
      forwardShift: -middle[1],
      occlusalShift: -middle[2],
      turn: length([x, y, z]) * DEGREES,
    };
  }

  test.each([
    ["with the scanner's errors", ASSUMED],
    ["without them", NO_SCANNER],
  ] as const)("have the standard uncertainty that draws of fits, frame and stations have, %s", (_, assumptions) => {
    const reading = readHalves(input, assumptions);
    const spreads = Object.fromEntries([...keys, "difference"].map((key) => [key, new Spread()]));
    const normal = normalFrom(seededRandom(21));
    const { atCanines, atMolars, local } = assumptions.scanner;
    const slope = (atMolars - atCanines) / 20;
    for (let i = 0; i < DRAWS; i++) {
      const toFrame = compose(fromRotationVector(vector(normal, input.frameTurn)), input.toFrame);
      const values = valuesOf(
        RIGHT.draw(input.right, normal),
        LEFT.draw(input.left, normal),
        toFrame,
        input.stationError * normal(),
      );
      for (let scan = 0; scan < 2; scan++) {
        // A scan spreads both sides by one draw, growing to the back; it turns one side about each axis alike (rolling
        // about the crowns' middle, 4 mm above the cusps), and shifts each half by itself.
        const [along, roll, off] = [normal(), slope * normal(), local * normal()];
        values.atCanines += atCanines * along - (10 - 4) * roll + off;
        values.atMolars += atMolars * along - (16 - 4) * roll + off;
        values.openingAngle -= slope * along * DEGREES;
        values.roll += roll * DEGREES;
        for (const key of ["pitch", "turn"] as const) values[key] += slope * normal() * DEGREES;
        for (const key of ["forwardShift", "occlusalShift"] as const)
          values[key] += ((atCanines + atMolars) / 2) * normal() + local * normal();
      }
      for (const key of keys) spreads[key]!.add(values[key]);
      spreads.difference!.add(values.atCanines - values.atMolars);
    }
    for (const key of keys) within5(reading[key].standardUncertainty, spreads[key]!.deviation, key);
    const { low, high } = reading.difference;
    within5((high - low) / 2 / NORMAL_95, spreads.difference!.deviation, "difference");
  });
});

describe("a crown against its half", () => {
  const middle: Vector3 = [25, 30, 2];
  const axes: CrownInput["axes"] = [
    [0.2588190451, -0.9659258263, 0],
    [0.9659258263, 0.2588190451, 0],
    [0, 0, -1],
  ];
  const crown: CrownInput = {
    crown: moved(turned([2, -6, 3], [24, 30, 14], [1.5, 0.2, -0.1]), middle, CROWN),
    axes,
    middle: apply(POSES.before, middle),
    toFrame: invert(POSES.before),
    axesTurn: [0.012, 0.012, 0.05],
    share: 1,
    archLength: 20,
  };
  const half = moved(turned([-0.5, -2, 2], [0, 44, 20], [1, 0, 0]), [9, 18, 15], LEFT);
  const palatal: Vector3 = [21, 31, -0.5];
  const buccal: Vector3 = [29, 29, 0.5];
  const motion = crownMotion(crown, halfReference(half), NO_SCANNER);
  const drop = palatalCuspDrop(
    crown,
    halfReference(half),
    apply(POSES.before, palatal),
    apply(POSES.before, buccal),
    NO_SCANNER,
  );

  test("tipping, turning, shifts and the palatal cusp have the standard uncertainty that the draws have", () => {
    const normal = normalFrom(seededRandom(22));
    const keys = ["buccalTipping", "mesialTipping", "turning", "buccalShift", "mesialShift", "occlusalShift"] as const;
    const spreads = Object.fromEntries([...keys, "drop", "against"].map((key) => [key, new Spread()]));
    for (let i = 0; i < DRAWS; i++) {
      const tilt = fromRotationVector(vector(normal, crown.axesTurn));
      const [m, b, o] = axes.map((axis) => rotate(tilt, axis)) as [Vector3, Vector3, Vector3];
      const seen = compose(invert(LEFT.draw(half, normal)), CROWN.draw(crown.crown, normal));
      const own = compose(crown.toFrame, compose(seen, invert(crown.toFrame)));
      const turn = rotationVector(own);
      const along = (p: Vector3, axis: Vector3) => dot(subtract(apply(own, p), p), axis);
      spreads.buccalTipping!.add(dot(turn, cross(o, b)) * DEGREES);
      spreads.mesialTipping!.add(dot(turn, cross(o, m)) * DEGREES);
      spreads.turning!.add(dot(turn, cross(m, b)) * DEGREES);
      spreads.buccalShift!.add(along(middle, b));
      spreads.mesialShift!.add(along(middle, m));
      spreads.occlusalShift!.add(along(middle, o));
      spreads.drop!.add(along(palatal, o));
      spreads.against!.add(along(palatal, o) - along(buccal, o));
    }
    for (const key of keys) within5(motion[key].standardUncertainty, spreads[key]!.deviation, key);
    within5(drop.againstHalf.standardUncertainty, spreads.drop!.deviation, "palatal cusp");
    within5(drop.againstBuccalCusp!.standardUncertainty, spreads.against!.deviation, "against the buccal cusp");
  });

  test("against the palate as a whole the scanner's part is half of its error across the arch on both scans", () => {
    const normal = normalFrom(seededRandom(23));
    const [shift, turn] = [new Spread(), new Spread()];
    for (let i = 0; i < DRAWS; i++) {
      let [moves, turns] = [0, 0];
      for (let scan = 0; scan < 2; scan++) {
        moves += (0.12 * normal()) / 2 + 0.02 * normal();
        turns += ((((0.12 - 0.05) / 20) * normal()) / 2) * DEGREES;
      }
      shift.add(moves);
      turn.add(turns);
    }
    const own = crownMotion(crown, wholeReference(half.transform, [half, half]), ASSUMED);
    within5(own.buccalShift.components.scanner, shift.deviation, "shift");
    within5(own.buccalTipping.components.scanner, turn.deviation, "turn");
  });

  test("the angle between the crowns of a pair has the standard uncertainty that the draws have", () => {
    const right: CrownInput = {
      ...crown,
      crown: moved(turned([1, 5, -2], [-24, 30, 14], [-1.5, 0, 0]), [-25, 30, 2], OTHER),
      middle: apply(POSES.before, [-25, 30, 2]),
    };
    const normal = normalFrom(seededRandom(24));
    const spread = new Spread();
    for (let i = 0; i < DRAWS; i++) {
      const seen = compose(invert(OTHER.draw(right.crown, normal)), CROWN.draw(crown.crown, normal));
      const own = compose(crown.toFrame, compose(seen, invert(crown.toFrame)));
      spread.add(-rotationVector(own)[1] * DEGREES);
    }
    within5(pairAngle(right, crown, NO_SCANNER).standardUncertainty, spread.deviation, "angle");
  });
});
