import { beforeAll, describe, expect, test } from "vitest";
import type { Readings } from "#core/readings/readings-document";
import { marksOf, SampleCase, truthOf } from "./sample-case";

const LEVELS = { "cusp-tip": "cusp", "palatal-gingival": "gingival", "central-fossa": "fossa" } as const;

describe("the invented scans from the end of turning to retention, with the scan from before", () => {
  const truth = truthOf("fan");
  const sample = new SampleCase("fan");
  let readings: Readings;
  beforeAll(async () => {
    for (const name of ["before", "after", "in-retention"]) await sample.open(name);
    readings = sample.measure("after", "in-retention", marksOf("fan"), ["before"]).readings;
  });

  test("loss and gain are the truth within 0.1 mm, and the true share lies in its interval, at both levels", () => {
    const retention = readings.retention!;
    expect(retention.before).toBe("before");
    let shares = 0;
    for (const { pair, level, gain, loss, percent } of retention.widths) {
      if (level === "mesiopalatal-cusp-tip") continue;
      const known = truth.widths.find((w) => w.pair === pair && w.level === LEVELS[level])!;
      const [before, after, kept] = ["before", "after", "in-retention"].map((name) => known.widths[name]!.refound);
      if (gain.state === "withheld" || loss.state === "withheld") throw new Error(`${pair} ${level}`);
      expect(Math.abs(gain.reading.value - (after! - before!))).toBeLessThan(0.1);
      expect(Math.abs(loss.reading.value - (after! - kept!))).toBeLessThan(0.1);
      if (percent.state === "withheld") continue;
      const share = (100 * (after! - kept!)) / (after! - before!);
      expect(share).toBeGreaterThan(percent.reading.low);
      expect(share).toBeLessThan(percent.reading.high);
      shares++;
    }
    expect(shares).toBeGreaterThanOrEqual(8);
  });

  test("the words are loss or gain, never fan, in headline, reason and patterns", () => {
    const words = [...readings.headline.map(({ text }) => text), readings.because].join(" ");
    expect(words).toContain("since the end of turning");
    expect(words.toLowerCase()).not.toContain("fan");
  });

  test("without the scan from before the loss is given and its share withheld", () => {
    const { retention } = sample.measure("after", "in-retention").readings;
    expect(retention!.before).toBeNull();
    expect(retention!.widths.every(({ loss }) => loss.state === "given")).toBe(true);
    expect(retention!.widths.every(({ percent }) => percent.state === "withheld")).toBe(true);
  });
});

describe("the invented expansion with its screw", () => {
  const sample = new SampleCase("fan");
  let readings: Readings;
  beforeAll(async () => {
    for (const name of ["before", "after"]) await sample.open(name);
    readings = sample.measure("before", "after", marksOf("fan"), [], (document) => ({
      ...document,
      identity: {
        ...document.identity,
        expander: {
          ...document.identity.expander,
          millimetresPerTurn: 0.25,
          phases: [{ direction: "opening", turns: 24, from: null, to: null }],
        },
      },
    })).readings;
  });

  test("delivered 6 mm stand beside the measured widening, and the halves are seen to have moved apart", () => {
    const { screw, retention } = readings;
    expect(retention).toBeNull();
    expect(screw!.delivered).toMatchObject({ state: "given", reading: { front: 6, back: 6 } });
    expect(screw!.separation!.verdict).toBe("detected");
    const measured = screw!.places.map(({ measured }) => measured.state);
    expect(measured).toEqual(["given", "given", "given", "given"]);
    expect(readings.warnings.map(({ code }) => code)).not.toContain("no-separation");
  });
});
