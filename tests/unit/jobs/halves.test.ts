import { beforeAll, describe, expect, test } from "vitest";
import { DEGREES } from "#core/geometry/real";
import { apply, compose, IDENTITY, invert, type RigidTransform } from "#core/geometry/rigid-transform";
import type { Vector3 } from "#core/geometry/vector";
import { halvesReading } from "#core/jobs/halves-reading";
import type { SpanEnd } from "#core/jobs/span-end";
import type { HalvesReading, Readings } from "#core/readings/readings-document";
import type { HalvesRegistration, PartOutcome } from "#core/registration/halves-registration";
import { marksOf, motionOf, SampleCase, truthOf } from "./sample-case";

const read = (readings: Readings): HalvesReading => {
  if (readings.halves.state === "withheld") throw new Error(readings.halves.reason.text);
  return readings.halves.reading;
};

describe.each([
  { set: "fan", from: "before", to: "after", verdict: "fan-front" },
  { set: "fan", from: "after", to: "in-retention", verdict: "narrowed" },
  { set: "parallel", from: "before", to: "after", verdict: "parallel" },
])("the halves of the invented $set scans from $from to $to", ({ set, from, to, verdict }) => {
  const truth = truthOf(set);
  let halves: HalvesReading;
  let readings: Readings;
  beforeAll(async () => {
    const sample = new SampleCase(set);
    await sample.open(from);
    await sample.open(to);
    readings = sample.measure(from, to).readings;
    halves = read(readings);
  });

  /** Left against right, as the generator moved them, in the first scan's true arch frame. */
  const known = (): RigidTransform => {
    const side = (name: "right" | "left") => {
      const later = motionOf(truth.motions[to]![name]);
      const earlier = from === "before" ? IDENTITY : motionOf(truth.motions[from]![name]);
      return compose(later, invert(earlier));
    };
    const frame = motionOf(truth.scans[from]!.archFrame);
    return compose(frame, compose(compose(invert(side("right")), side("left")), invert(frame)));
  };

  /** What is true: openings at the reading's heights, and the angles. */
  function expected() {
    const m = known();
    const frame = motionOf(truth.scans[from]!.archFrame);
    const opening = (teeth: readonly number[], height: number) => {
      // True stations: the middle of the palatal gingival points.
      const ys = truth.scans[from]!.landmarks.filter(
        ({ tooth, place }) => teeth.includes(tooth!) && place === "palatal-gingival",
      ).map(({ refound }) => apply(frame, refound)[1]);
      const p: Vector3 = [0, (ys[0]! + ys[1]!) / 2, height];
      return (apply(m, p)[0] - apply(invert(m), p)[0]) / 2;
    };
    const r = m.rotation;
    const [x, y, z] = [r[7] - r[5], r[2] - r[6], r[3] - r[1]].map((v) => Math.asin(v / 2) * DEGREES);
    return {
      atCanines: opening([13, 23], halves.heights.canines),
      atMolars: opening([16, 26], halves.heights.molars),
      openingAngle: z!,
      roll: -y!,
      pitch: x!,
    };
  }

  test("opened as they were moved: within 0.05 mm at canines and first molars, and 0.1 degrees", () => {
    const so = expected();
    for (const key of ["atCanines", "atMolars"] as const)
      expect(Math.abs(halves[key].value - so[key])).toBeLessThan(0.05);
    for (const key of ["openingAngle", "roll", "pitch"] as const) {
      expect(Math.abs(halves[key].value - so[key])).toBeLessThan(0.1);
    }
  });

  test("the verdict is right, and the interval of the difference covers the truth", () => {
    const so = expected();
    expect(halves.verdict).toBe(verdict);
    expect(halves.difference.low).toBeLessThan(so.atCanines - so.atMolars);
    expect(halves.difference.high).toBeGreaterThan(so.atCanines - so.atMolars);
    expect(readings.because).toMatch(/halves of the palate (show the same pattern|say the same)/);
    expect(halves.label).toBe("relative motion of the two palatal surfaces; neither suture nor bone");
  });

  test("the axis stands where the halves turned, or is withheld where they hardly turned", () => {
    const hinge = from === "before" ? truth.motions[to]!.halves.hinge : null;
    if (hinge === null) {
      expect(halves.axis).toMatchObject({ state: "withheld", reason: { code: "angle-within-error" } });
      return;
    }
    if (halves.axis.state === "withheld") throw new Error(halves.axis.reason.text);
    const { toLeft, behindCanines } = halves.axis.reading;
    expect(toLeft.low).toBeLessThan(hinge[0]);
    expect(toLeft.high).toBeGreaterThan(hinge[0]);
    const frame = motionOf(truth.scans[from]!.archFrame);
    const canines = truth.scans[from]!.landmarks.filter(
      ({ tooth, place }) => (tooth === 13 || tooth === 23) && place === "palatal-gingival",
    ).map(({ refound }) => apply(frame, refound)[1]);
    const behind = hinge[1] - (canines[0]! + canines[1]!) / 2;
    expect(Math.abs(behindCanines.value - behind)).toBeLessThan(1);
    expect(behindCanines.low).toBeLessThan(behind);
    expect(behindCanines.high).toBeGreaterThan(behind);
  });
});

describe("the halves are withheld, with the reason", () => {
  const region = { mask: new Uint8Array(0), area: 0 };
  const fittedHalf = (side: "right-palate" | "left-palate", condition: number): PartOutcome =>
    ({ state: "fitted", fit: { region: side, fit: { condition } } }) as unknown as PartOutcome;
  const palate = (more: Partial<HalvesRegistration>): HalvesRegistration => ({
    of: "palate",
    whole: fittedHalf("right-palate", 40),
    right: fittedHalf("right-palate", 40),
    left: fittedHalf("left-palate", 40),
    regions: { before: { origin: "proposed", whole: region, right: region, left: region }, after: null },
    identity: { verdict: "same", sentence: "The palates agree." },
    warnings: [],
    ...more,
  });
  const nobody = {} as SpanEnd;
  const settings = { pointWidth: 0.25, scanner: { atCanines: 0.05, atMolars: 0.12, local: 0.02 }, delta: 1 };

  test("where a half has no fit", () => {
    const error = { code: "no-region-fits", subject: "The right half", problem: "nothing fits", remedy: "Look again" };
    expect(halvesReading(nobody, palate({ right: { state: "failed", error } as PartOutcome }), settings)).toMatchObject(
      {
        state: "withheld",
        reason: { code: "registration-failed", text: expect.stringContaining("nothing fits") },
      },
    );
  });

  test("where a half is too smooth to hold its position", () => {
    expect(halvesReading(nobody, palate({ left: fittedHalf("left-palate", 840) }), settings)).toMatchObject({
      state: "withheld",
      reason: { code: "fit-too-uncertain", text: expect.stringContaining("left half") },
    });
  });

  test.each([
    ["doubtful", "identity-doubtful"],
    ["different", "not-same-palate"],
  ] as const)("where it is %s that the palates are one patient's", (verdict, code) => {
    expect(
      halvesReading(nobody, palate({ identity: { verdict, sentence: "The palates differ." } }), settings),
    ).toMatchObject({ state: "withheld", reason: { code } });
  });

  test("where nothing of the palate is marked, and the teeth are still measured", async () => {
    const sample = new SampleCase("fan");
    await sample.open("before");
    await sample.open("after");
    const molars = Object.fromEntries(
      Object.entries(marksOf("fan")).map(([name, { landmarks }]) => [
        name,
        { landmarks: landmarks.filter(({ tooth }) => tooth === 16 || tooth === 26) },
      ]),
    );
    const { readings } = sample.measure("before", "after", molars);
    expect(readings.halves.state).toBe("withheld");
    expect(readings.made).toBe(readings.asked);
  });
});
