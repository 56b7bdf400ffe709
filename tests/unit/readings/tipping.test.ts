import { describe, expect, test } from "vitest";
import { DEFAULT_SETTINGS } from "#core/case/case-document";
import { atan2, DEGREES } from "#core/geometry/real";
import { seededRandom } from "#core/geometry/seeded-random";
import { add, type Vector3 } from "#core/geometry/vector";
import { readSpan } from "#core/readings/span-readings";
import { readTipping } from "#core/readings/tipping";
import type { Assumptions } from "#core/readings/uncertainty";
import type { PointSet } from "#core/readings/width";
import { inventedPoints } from "./invented-arch";
import { normalFrom, Spread } from "./normal-draws";

const BEFORE = inventedPoints("before", () => 0);
const opened = (cusp: number, gingival: number) =>
  inventedPoints("after", (_, level) => (level === "cusp" ? cusp : gingival));

const tippingOf = (
  after: PointSet,
  assumptions: Assumptions = DEFAULT_SETTINGS,
  registered: ReadonlySet<number> = new Set(),
  before = BEFORE,
) => readTipping(before, after, readSpan(before, after, assumptions, "expansion").widths, registered, assumptions);

describe("gingival to cusp ratio", () => {
  test("one reading per pair, with a Fieller interval and the pivot it implies", () => {
    const found = tippingOf(opened(5, 3));
    expect(found.map(({ pair }) => pair)).toEqual(["3-3", "4-4", "5-5", "6-6", "7-7"]);
    const molars = found[3]!;
    if (molars.gingivalToCusp.state === "withheld") throw new Error(molars.gingivalToCusp.reason.text);
    if (molars.pivotAboveGingival.state === "withheld") throw new Error(molars.pivotAboveGingival.reason.text);
    expect(molars.gingivalToCusp.reading.value).toBeCloseTo(0.6, 12);
    expect(molars.height).toBe(7);
    const { value, low, high } = molars.pivotAboveGingival.reading;
    expect(value).toBeCloseTo((7 * 0.6) / 0.4, 9);
    expect(low).toBeLessThan(value);
    expect(high).toBeGreaterThan(value);
    expect(low).toBeGreaterThan(0);
  });

  test("is withheld where the cusps hardly moved, as long as |change| does not exceed twice its uncertainty", () => {
    const change = (cusp: number) => tippingOf(opened(cusp, cusp / 2))[0]!.gingivalToCusp;
    const { expandedUncertainty } = (() => {
      const { change: c } = readSpan(BEFORE, opened(1, 1), DEFAULT_SETTINGS, "expansion").widths[0]!;
      if (c.state === "withheld") throw new Error(c.reason.text);
      return c.reading;
    })();
    expect(change(1.99 * expandedUncertainty)).toMatchObject({
      state: "withheld",
      reason: { code: "denominator-within-error" },
    });
    expect(change(2.01 * expandedUncertainty).state).toBe("given");
    // A loss has a ratio as well.
    expect(change(-2.01 * expandedUncertainty).state).toBe("given");
  });

  test("a pivot is withheld where the ratio is 0 or 1 within error, and where it lies beyond", () => {
    for (const gingival of [0.1, 4.8, 5, 7, -1]) {
      const found = tippingOf(opened(5, gingival))[0]!;
      expect(found.gingivalToCusp.state, String(gingival)).toBe("given");
      expect(found.pivotAboveGingival, String(gingival)).toMatchObject({
        state: "withheld",
        reason: { code: "angle-within-error" },
      });
    }
  });

  test("lacks what its widths lack", () => {
    const after = opened(5, 3);
    const less = { ...after, points: after.points.filter((p) => p.tooth !== 16 || p.place !== "palatal-gingival") };
    expect(tippingOf(less).find(({ pair }) => pair === "6-6")!.gingivalToCusp).toMatchObject({
      state: "withheld",
      reason: { code: "needs-landmark", needs: [{ tooth: 16, place: "palatal-gingival" }] },
    });
    const cuspsOnly = (set: PointSet) => ({ ...set, points: set.points.filter((p) => p.place !== "palatal-gingival") });
    expect(tippingOf(cuspsOnly(after), DEFAULT_SETTINGS, new Set(), cuspsOnly(BEFORE))).toEqual([]);
  });

  test("without arch frame there is a ratio but neither pivot nor angle", () => {
    const frameless = (set: PointSet) => ({ ...set, points: set.points.map((p) => ({ ...p, inFrame: null })) });
    const found = tippingOf(frameless(opened(5, 3)), DEFAULT_SETTINGS, new Set(), frameless(BEFORE))[0]!;
    expect(found.gingivalToCusp.state).toBe("given");
    expect(found.height).toBeNull();
    for (const given of [found.pivotAboveGingival, found.anglesFromPoints[0]!.angle]) {
      expect(given).toMatchObject({ state: "withheld", reason: { code: "frame-not-possible" } });
    }
  });

  test("its Fieller interval covers the true ratio in about 95 % of 20,000 draws, the scanner's errors shared", () => {
    const assumptions: Assumptions = {
      delta: 1,
      pointWidth: 0.1,
      scanner: { atCanines: 0.2, atMolars: 0.2, local: 0.02 },
    };
    const normal = normalFrom(seededRandom(41));
    const molar = (set: PointSet) => ({
      ...set,
      points: set.points.filter(({ tooth }) => tooth! % 10 === 6 || tooth! % 10 === 3),
    });
    const [before, after] = [molar(BEFORE), molar(opened(4, 2.4))];
    const drawn = (set: PointSet): PointSet => {
      const along = 0.2 * normal();
      const points = set.points.map((point) => {
        const side = Math.sign(point.inFrame![0]);
        const local = (0.02 / Math.SQRT2) * normal();
        const off: Vector3 = [0, 1, 2].map(() => (0.1 / Math.SQRT2) * normal()) as unknown as Vector3;
        return { ...point, at: add(add(point.at, off), [(side * along) / 2 + local, 0, 0]) };
      });
      return { ...set, points };
    };
    let covered = 0;
    for (let i = 0; i < 20_000; i++) {
      const found = tippingOf(drawn(after), assumptions, new Set(), drawn(before)).find(({ pair }) => pair === "6-6")!;
      if (found.gingivalToCusp.state === "withheld") continue;
      const { low, high } = found.gingivalToCusp.reading;
      if (low <= 0.6 && 0.6 <= high) covered++;
    }
    expect(covered / 20_000).toBeGreaterThan(0.94);
    expect(covered / 20_000).toBeLessThan(0.96);
  });
});

describe("tipping from the points", () => {
  test("is positive to the cheek on both sides, and left out where the crown's registration gives it", () => {
    const found = tippingOf(opened(5, 3), DEFAULT_SETTINGS, new Set([16]))[3]!;
    expect(found.anglesFromPoints.map(({ tooth }) => tooth)).toEqual([26]);
    const both = tippingOf(opened(5, 3))[3]!.anglesFromPoints;
    // Cusp 5 mm to the cheek and 7 mm below: then 6 mm to the cheek.
    const expected = (atan2(6, 7) - atan2(5, 7)) * DEGREES;
    for (const { angle } of both) {
      if (angle.state === "withheld") throw new Error(angle.reason.text);
      expect(angle.reading.value).toBeCloseTo(expected, 9);
    }
  });

  test("asks for the point that is not there", () => {
    const after = opened(5, 3);
    const less = { ...after, points: after.points.filter((p) => p.tooth !== 16 || p.place !== "palatal-gingival") };
    const found = tippingOf(less).find(({ pair }) => pair === "6-6")!;
    expect(found.anglesFromPoints[0]!.angle).toMatchObject({
      state: "withheld",
      reason: { text: "needs the palatal gingival point of 16 on the after scan" },
    });
    expect(found.anglesFromPoints[1]!.angle.state).toBe("given");
  });

  test("has the standard uncertainty that 20,000 draws of its points have, within 5 %", () => {
    const simulated: Assumptions = { ...DEFAULT_SETTINGS, scanner: { atCanines: 0, atMolars: 0, local: 0 } };
    const after = opened(5, 3);
    const claimed = tippingOf(after, simulated)[3]!.anglesFromPoints[1]!.angle;
    if (claimed.state === "withheld") throw new Error(claimed.reason.text);
    const normal = normalFrom(seededRandom(42));
    const spread = new Spread();
    const molar = (set: PointSet) => set.points.filter(({ tooth }) => tooth === 26);
    for (let i = 0; i < 20_000; i++) {
      const [a, b] = [BEFORE, after].map((set) => {
        const [cusp, gingival] = molar(set).map(({ inFrame }) =>
          inFrame!.map((x) => x + (0.25 / Math.SQRT2) * normal()),
        );
        return atan2(cusp![0]! - gingival![0]!, gingival![2]! - cusp![2]!);
      }) as [number, number];
      spread.add((b - a) * DEGREES);
    }
    expect(claimed.reading.standardUncertainty / spread.deviation).toBeGreaterThan(0.95);
    expect(claimed.reading.standardUncertainty / spread.deviation).toBeLessThan(1.05);
  });
});
