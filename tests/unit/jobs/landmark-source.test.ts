import { beforeAll, describe, expect, test } from "vitest";
import type { Landmark } from "#core/arch/landmark";
import { distance } from "#core/geometry/vector";
import type { Readings } from "#core/readings/readings-document";
import { SampleCase, truthOf } from "./sample-case";

const truth = truthOf("fan");
const LEVELS = { "cusp-tip": "cusp", "central-fossa": "fossa", "palatal-gingival": "gingival" } as const;

/** The true spots of the before scan, used exactly where they are. */
const marked: Landmark[] = truth.scans.before!.landmarks.map(({ tooth, place, refound }) => ({
  ...(tooth === undefined ? {} : { tooth }),
  place: place as Landmark["place"],
  at: refound,
  snap: false,
}));

describe("landmarks on the before scan only, compared are after and in retention", () => {
  let readings: Readings;
  beforeAll(async () => {
    const sample = new SampleCase("fan");
    for (const name of ["before", "after", "in-retention"]) await sample.open(name);
    readings = sample.measure("after", "in-retention", { before: { landmarks: marked } }, ["before"]).readings;
  }, 240_000);

  test("every width changes by the truth of the material points, within 0.1 mm", () => {
    expect(readings.made).toBe(readings.asked);
    expect(readings.asked).toBeGreaterThan(12);
    let compared = 0;
    for (const width of readings.widths) {
      const level = LEVELS[width.level as keyof typeof LEVELS];
      const known = truth.widths.find((w) => w.pair === width.pair && w.level === level)?.widths;
      if (known === undefined) continue;
      if (width.change.state !== "given") throw new Error(width.change.reason.text);
      const expected = known["in-retention"]!.material - known.after!.material;
      expect(Math.abs(width.change.reading.value - expected), `${width.pair} ${width.level}`).toBeLessThan(0.1);
      compared++;
    }
    expect(compared).toBeGreaterThanOrEqual(12);
  });

  test("both ends show the same material point, flagged as carried from the before scan", () => {
    for (const name of ["after", "in-retention"]) {
      const marks = readings.landmarks.filter(({ timepoint }) => timepoint === name);
      expect(marks.length).toBe(marked.length);
      for (const mark of marks) {
        expect(mark).toMatchObject({ how: "carried", placedOn: "before" });
        if (mark.tooth === null) continue;
        const spot = truth.scans[name]!.landmarks.find((m) => m.tooth === mark.tooth && m.place === mark.place)!;
        expect(distance(spot.material, mark.used), `${mark.tooth} ${mark.place}`).toBeLessThan(0.15);
      }
    }
    expect(readings.cautions).toContainEqual(expect.stringContaining("Points placed on the before scan only"));
  });

  test("the hand's error enters only as tipping, the registrations of both scans enter each", () => {
    for (const { pair, before, after, change } of readings.widths) {
      if (before.state === "withheld" || after.state === "withheld" || change.state === "withheld")
        throw new Error(`${pair} is withheld`);
      const [one, other] = [before.reading.components.registration, after.reading.components.registration];
      expect(one).toBeGreaterThan(0);
      expect(other).toBeGreaterThan(0);
      expect(change.reading.components.registration).toBeCloseTo(Math.hypot(one, other), 12);
      expect(change.reading.components.point).toBeLessThan(0.04);
      expect(change.reading.components.point).toBeGreaterThan(0);
    }
  });

  test("the palate is registered between the two compared scans, and words are those of retention", () => {
    expect(readings.halves.state).toBe("given");
    expect(readings.registrations.every(({ state }) => state === "given")).toBe(true);
    expect(readings.span.words).toBe("retention");
  });
});
