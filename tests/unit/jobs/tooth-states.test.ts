import { beforeAll, describe, expect, test } from "vitest";
import { NO_DETAILS, type VisitDetails } from "#core/case/timepoint";
import type { Readings } from "#core/readings/readings-document";
import { marksOf, SampleCase } from "./sample-case";

describe("the fan-shaped sample with teeth stated as not there", () => {
  let readings: Readings;
  beforeAll(async () => {
    const sample = new SampleCase("fan");
    for (const name of ["before", "after"]) await sample.open(name);
    // 15 has landmarks on the after scan none the less; 24 has landmarks before only.
    const marks = marksOf("fan");
    marks.after = { landmarks: marks.after!.landmarks.filter(({ tooth }) => tooth !== 24) };
    const teeth: VisitDetails["teeth"] = [
      { tooth: 15, state: "missing" },
      { tooth: 24, state: "extracted-space-closed" },
    ];
    readings = sample.measure("before", "after", marks, [], (document) => ({
      ...document,
      timepoints: document.timepoints.map((t) =>
        t.name === "after" ? { ...t, details: { ...NO_DETAILS, teeth } } : t,
      ),
    })).readings;
  }, 240_000);

  test("their widths and crowns say so, nothing is carried to them, and every asked reading was made", () => {
    expect(readings.made).toBe(readings.asked);
    for (const pair of ["4-4", "5-5"]) {
      const widths = readings.widths.filter((width) => width.pair === pair);
      expect(widths.length).toBeGreaterThan(0);
      for (const { before, change } of widths) {
        expect(before.state).toBe("given");
        expect(change).toMatchObject({ state: "withheld", reason: { code: "tooth-not-there" } });
      }
    }
    for (const tooth of [15, 24]) {
      expect(readings.crowns.find((crown) => crown.tooth === tooth)).toMatchObject({
        motion: { state: "withheld", reason: { code: "tooth-not-there" } },
      });
      expect(readings.landmarks.filter((mark) => mark.tooth === tooth && mark.timepoint === "after")).toEqual([]);
    }
    expect(readings.crowns.find((crown) => crown.tooth === 14)).toMatchObject({ motion: { state: "given" } });
  });

  test("the pattern rests on the other pairs", () => {
    const [cusps] = readings.patterns;
    expect(cusps).toMatchObject({ state: "given", reading: { verdict: "fan-front" } });
    if (cusps?.state === "given") expect(cusps.reading.pairs.map(({ pair }) => pair)).toEqual(["3-3", "6-6", "7-7"]);
  });

  test("landmarks on a tooth that is not there are warned of, and so is a closed space", () => {
    const of = (code: string) => readings.warnings.filter((warning) => warning.code === code);
    expect(of("landmark-on-absent-tooth")).toEqual([
      { code: "landmark-on-absent-tooth", timepoint: "after", text: expect.stringMatching(/^Tooth 15 is missing/) },
    ]);
    expect(of("space-closed")).toEqual([
      { code: "space-closed", timepoint: "after", text: expect.stringContaining("the space of 24 is closed") },
    ]);
  });
});
