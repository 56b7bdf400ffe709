import { describe, expect, test } from "vitest";
import { emptyTimepoint, NO_DETAILS, type ToothState } from "#core/case/timepoint";
import { teethAway } from "#core/case/tooth-standing";
import { readSpan } from "#core/readings/span-readings";
import { eruptingReason } from "#core/readings/tooth-reasons";
import { type PointSet, stationsFrom } from "#core/readings/width";
import { inventedPoints, SIMULATED } from "./invented-arch";

type States = Record<number, ToothState>;

const visit = (name: string, states: States) => ({
  ...emptyTimepoint(name, "before"),
  details: { ...NO_DETAILS, teeth: Object.entries(states).map(([tooth, state]) => ({ tooth: Number(tooth), state })) },
});

/** The invented arch before and 3 mm wider after, its teeth as stated. */
function arches(before: States, after: States): [PointSet, PointSet] {
  const timepoints = [visit("before", before), visit("after", after)];
  const [first, second] = timepoints.map((timepoint, i) => {
    const away = teethAway({ timepoints }, timepoint);
    const there = (tooth: number) => !away.some((one) => one.tooth === tooth);
    return { ...inventedPoints(timepoint.name, () => 3 * i, there), away };
  });
  return [first!, second!];
}

const read = (before: States, after: States) => readSpan(...arches(before, after), SIMULATED, "expansion");
const of = (readings: ReturnType<typeof read>, pair: string) =>
  readings.widths.find((width) => width.pair === pair && width.level === "cusp-tip")!;

describe("widths by the state of their teeth", () => {
  test("a tooth that is missing at one date: the width of the other date stands, the rest says why, and nothing fails", () => {
    const whole = read({}, {});
    const readings = read({}, { 15: "missing" });
    const premolars = of(readings, "5-5");
    expect(premolars.before).toMatchObject({ state: "given", reading: { value: 47 } });
    const reason = { code: "tooth-not-there", text: "tooth 15 is missing on the after scan", needs: [] };
    expect(premolars.after).toEqual({ state: "withheld", reason });
    expect(premolars.change).toEqual({ state: "withheld", reason });
    expect(readings.made).toBe(readings.asked);
    // Both levels of 5-5 are not asked for any more.
    expect(readings.asked).toBe(whole.asked - 2);
    expect(of(readings, "4-4").change).toMatchObject({ state: "given", reading: { value: 3 } });
  });

  test("a deciduous tooth and its successor are no change of a width", () => {
    const { change, before, after } = of(read({ 13: "deciduous" }, {}), "3-3");
    expect(before).toMatchObject({
      reason: { code: "tooth-not-there", text: expect.stringContaining("53 stands there") },
    });
    expect(after.state).toBe("given");
    expect(change).toEqual({
      state: "withheld",
      reason: {
        code: "tooth-changed",
        text: "53 on the before scan and 13 on the after scan are not the same tooth",
        needs: [],
      },
    });
  });

  test("an erupting tooth has widths but no height", () => {
    const readings = read({ 13: "erupting" }, {});
    expect(of(readings, "3-3").change.state).toBe("given");
    expect(eruptingReason(visit("before", { 13: "erupting" }), 13)).toMatchObject({
      code: "tooth-erupting",
      text: expect.stringContaining("tooth 13 is erupting on the before scan"),
    });
    expect(eruptingReason(visit("before", { 13: "erupting" }), 23)).toBeNull();
  });
});

describe("the station of a pair that is not there", () => {
  test("one side missing: the other side's", () => {
    expect(stationsFrom(arches({ 16: "missing" }, {})[0]).back("cusp-tip")).toBe(22);
  });

  test("both first molars missing: midway between their neighbours, and still called the first molars'", () => {
    const stations = stationsFrom(arches({ 16: "missing", 26: "missing" }, {})[0]);
    expect(stations.back("cusp-tip")).toBe((14 + 32) / 2);
    expect(stations.named("cusp-tip")).toEqual({ canines: true, molars: true });
  });

  test("without a neighbour nothing is extrapolated: the hindmost pair, and called so", () => {
    const gone: States = { 16: "missing", 26: "missing", 17: "missing", 27: "missing" };
    const stations = stationsFrom(arches(gone, {})[0]);
    expect(stations.back("cusp-tip")).toBe(14);
    expect(stations.named("cusp-tip")).toEqual({ canines: true, molars: false });
  });

  test("where the space was closed there is no such place", () => {
    const gone: States = { 16: "extracted-space-closed", 26: "extracted-space-closed" };
    expect(stationsFrom(arches(gone, {})[0]).named("cusp-tip").molars).toBe(false);
  });
});
