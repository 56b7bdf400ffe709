import { beforeAll, describe, expect, test } from "vitest";
import { DEGREES } from "#core/geometry/real";
import {
  apply,
  compose,
  IDENTITY,
  invert,
  type RigidTransform,
  rotate,
  rotationVector,
} from "#core/geometry/rigid-transform";
import { cross, distance, dot, subtract, unit, type Vector3 } from "#core/geometry/vector";
import type { CrownReading, Readings } from "#core/readings/readings-document";
import { marksOf, motionOf, SampleCase, truthOf } from "./sample-case";

const found = (crown: CrownReading): RigidTransform => ({
  rotation: crown.rotation as unknown as RigidTransform["rotation"],
  translation: crown.translation as unknown as Vector3,
});

const givenCrowns = (readings: Readings): CrownReading[] =>
  readings.crowns.flatMap(({ motion }) => (motion.state === "given" ? [motion.reading] : []));

const rootMeanSquare = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length);

describe.each([
  { set: "fan", from: "before", to: "after" },
  { set: "fan", from: "after", to: "in-retention" },
  { set: "parallel", from: "before", to: "after" },
])("the crowns of the invented $set scans from $from to $to", ({ set, from, to }) => {
  const truth = truthOf(set);
  let readings: Readings;
  beforeAll(async () => {
    const sample = new SampleCase(set);
    await sample.open(from);
    await sample.open(to);
    readings = sample.measure(from, to).readings;
  });

  const between = (pick: (motions: (typeof truth.motions)[string]) => number[][]): RigidTransform => {
    const earlier = from === "before" ? IDENTITY : motionOf(pick(truth.motions[from]!));
    return compose(motionOf(pick(truth.motions[to]!)), invert(earlier));
  };
  /** The crown's middle as its landmarks on the earlier scan give it, file coordinates. */
  const middleOf = (tooth: number): Vector3 => {
    const marks = truth.scans[from]!.landmarks.filter((m) => m.tooth === tooth && !m.place.includes("gingival"));
    return [0, 1, 2].map(
      (axis) => marks.reduce((s, m) => s + m.refound[axis]!, 0) / marks.length,
    ) as unknown as Vector3;
  };

  test("all 14 are registered, to 0.03 mm at their middle and 0.3 degrees (root mean square)", () => {
    const crowns = givenCrowns(readings);
    expect(crowns.map(({ tooth }) => tooth).sort()).toEqual([11, 12, 13, 14, 15, 16, 17, 21, 22, 23, 24, 25, 26, 27]);
    const shifts: number[] = [];
    const turns: number[] = [];
    for (const crown of crowns) {
      const known = between(({ teeth }) => teeth[String(crown.tooth)]!);
      const p = middleOf(crown.tooth);
      shifts.push(distance(apply(found(crown), p), apply(known, p)));
      turns.push(Math.hypot(...rotationVector(compose(invert(known), found(crown)))) * DEGREES);
    }
    expect(rootMeanSquare(shifts)).toBeLessThan(0.03);
    expect(rootMeanSquare(turns)).toBeLessThan(0.3);
  });

  test("tipping against the half is the generator's: within 0.3 degrees (root mean square), shifts within 0.05 mm", () => {
    const frame = motionOf(truth.scans[from]!.archFrame);
    const contact = (tooth: number, place: string) =>
      apply(frame, truth.scans[from]!.landmarks.find((m) => m.tooth === tooth && m.place === place)!.refound);
    const errors: number[] = [];
    const lost: number[] = [];
    for (const { tooth, againstHalf } of givenCrowns(readings)) {
      if (againstHalf.state === "withheld") throw new Error(againstHalf.reason.text);
      const half = between((motions) => (tooth < 20 ? motions.right : motions.left));
      const own = between(({ teeth }) => teeth[String(tooth)]!);
      const motion = compose(frame, compose(compose(invert(half), own), invert(frame)));
      // The crown's directions from its contacts: another way to them than the arch form through the middles.
      const along = subtract(contact(tooth, "mesial-contact"), contact(tooth, "distal-contact"));
      const mesial = unit([along[0], along[1], 0]);
      const buccal = cross([0, 0, tooth < 20 ? -1 : 1], mesial);
      const turn = rotationVector(motion);
      errors.push(againstHalf.reading.buccalTipping.value - dot(turn, cross([0, 0, -1], buccal)) * DEGREES);
      const middle = apply(frame, middleOf(tooth));
      lost.push(againstHalf.reading.buccalShift.value - dot(subtract(apply(motion, middle), middle), buccal));
    }
    expect(rootMeanSquare(errors)).toBeLessThan(0.3);
    // The middle of the landmarks and the middle of the surface lie up to 3 mm apart in height: 3 mm · sin 3° = 0.16 mm.
    expect(rootMeanSquare(lost)).toBeLessThan(0.16);
  });

  test("the angle between the first molars is that of the generator, positive with the crowns to the cheek", () => {
    const frame = motionOf(truth.scans[from]!.archFrame);
    const pair = readings.crownPairs.find((p) => p.pair === "6-6")!;
    const relative = compose(
      frame,
      compose(
        compose(
          invert(between((m) => m.teeth["16"]!)),
          between((m) => m.teeth["26"]!),
        ),
        invert(frame),
      ),
    );
    expect(Math.abs(pair.angle.value + rotationVector(relative)[1] * DEGREES)).toBeLessThan(0.3);
    expect(Math.sign(pair.angle.value)).toBe(from === "before" ? 1 : -1);
  });

  test("palatal cusps of the molars moved as the generator moved them, within 0.06 mm", () => {
    const frame = motionOf(truth.scans[from]!.archFrame);
    const occlusal = rotate(invert(frame), [0, 0, -1]);
    for (const crown of givenCrowns(readings)) {
      if (![16, 17, 26, 27].includes(crown.tooth)) continue;
      const drop = crown.palatalCuspDrop;
      if (drop?.state !== "given") throw new Error("the palatal cusp is marked");
      const half = between((motions) => (crown.tooth < 20 ? motions.right : motions.left));
      const motion = compose(
        invert(half),
        between(({ teeth }) => teeth[String(crown.tooth)]!),
      );
      const p = truth.scans[from]!.landmarks.find(
        (m) => m.tooth === crown.tooth && m.place === "mesiopalatal-cusp-tip",
      )!.refound;
      expect(Math.abs(drop.reading.againstHalf.value - dot(subtract(apply(motion, p), p), occlusal))).toBeLessThan(
        0.06,
      );
    }
  });
});

describe("crowns with few landmarks", () => {
  test("cusp tips and palatal gingival points alone find the same motions, cusp tips within 0.06 mm, turns within 0.4 degrees", async () => {
    const places = ["cusp-tip", "buccal-cusp-tip", "mesiobuccal-cusp-tip", "palatal-gingival"];
    const few = Object.fromEntries(
      Object.entries(marksOf("fan")).map(([name, { landmarks }]) => [
        name,
        { landmarks: landmarks.filter((m) => m.tooth === undefined || places.includes(m.place)) },
      ]),
    );
    const sample = new SampleCase("fan");
    await sample.open("before");
    await sample.open("after");
    const { readings } = sample.measure("before", "after", few);
    const truth = truthOf("fan");
    const crowns = givenCrowns(readings).filter(({ tooth }) => tooth % 10 >= 3);
    expect(crowns.length).toBe(10);
    const turns = crowns.map((crown) => {
      const known = motionOf(truth.motions.after!.teeth[String(crown.tooth)]!);
      const cusp = truth.scans.before!.landmarks.find((m) => m.tooth === crown.tooth && m.place.endsWith("cusp-tip"))!;
      expect(distance(apply(found(crown), cusp.refound), apply(known, cusp.refound))).toBeLessThan(0.06);
      return Math.hypot(...rotationVector(compose(invert(known), found(crown)))) * DEGREES;
    });
    expect(rootMeanSquare(turns)).toBeLessThan(0.4);
  });
});
