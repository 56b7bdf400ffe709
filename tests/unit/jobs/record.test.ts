import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import { parseMarks } from "#core/arch/marks";
import { lowerScanName } from "#core/case/timepoint";
import type { Readings } from "#core/readings/readings-document";
import { marksOf, SampleCase, truthOf } from "./sample-case";

const FAN = resolve(import.meta.dirname, "../../../sample-meshes/fan");
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

  test("rules for the gain of perimeter, which are of expansions, predict nothing", () => {
    expect(readings.arch.arch.some(({ name }) => name.startsWith("arch perimeter"))).toBe(true);
    expect(readings.arch.predictedPerimeters).toEqual([]);
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

describe("the invented lower arch beside the upper one of the same date", () => {
  const truth = JSON.parse(readFileSync(join(FAN, "truth-lower.json"), "utf8")) as {
    landmarks: { tooth: number; place: string; refound: [number, number, number] }[];
  };
  const sample = new SampleCase("fan");
  let readings: Readings;
  beforeAll(async () => {
    for (const name of ["before", "after"]) await sample.open(name);
    const { lower } = parseMarks(readFileSync(join(FAN, "marks-lower.json"), "utf8"), "marks-lower.json").scans;
    await sample.openBytes(lowerScanName("before"), "lower.ply", readFileSync(join(FAN, "lower.ply")));
    readings = sample.measure("before", "after", marksOf("fan"), [], (document) => ({
      ...document,
      timepoints: document.timepoints.map((timepoint) => ({
        ...timepoint,
        lower:
          timepoint.name === "before"
            ? { scan: { sha256: "0".repeat(64), fileName: "invented", unit: "mm" }, landmarks: lower!.landmarks }
            : null,
      })),
    })).readings;
  });

  test("lower widths lie within their uncertainty of the truth, cusps moved to their tips", () => {
    for (const { lowerPoints, earlier } of readings.need!.methods) {
      if (earlier.lower.state === "withheld") throw new Error(lowerPoints);
      const place = { central: "central-fossa", lingual: "lingual-gingival", buccal: "buccal-groove" }[
        lowerPoints.split(" ")[0]!
      ];
      const [right, left] = [46, 36].map(
        (tooth) => truth.landmarks.find((mark) => mark.tooth === tooth && mark.place === place)!.refound,
      );
      const width = Math.hypot(...right!.map((x, axis) => left![axis]! - x));
      const { value, expandedUncertainty } = earlier.lower.reading;
      expect(Math.abs(value - width)).toBeLessThan(expandedUncertainty);
    }
    const tips = readings.landmarks.filter(
      ({ timepoint, place }) => timepoint === "before, lower" && /^(mesio|disto)(buccal|lingual)-cusp-tip$/.test(place),
    );
    expect(tips.length).toBeGreaterThan(8);
    for (const { tooth, place, used } of tips) {
      const known = truth.landmarks.find((mark) => mark.tooth === tooth && mark.place === place)!.refound;
      expect(Math.hypot(...used.map((x, axis) => x - known[axis]!))).toBeLessThan(0.12);
    }
  });

  test("it is one of the scans of the record, and the later date is not measured with it", () => {
    expect(readings.scans.map(({ timepoint }) => timepoint)).toEqual(["before", "after", "before, lower"]);
    expect(readings.need!.methods.every(({ later }) => later.need.state === "withheld")).toBe(true);
    expect(readings.made).toBe(readings.asked);
  });
});
