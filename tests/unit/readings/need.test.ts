import { describe, expect, test } from "vitest";
import type { Place } from "#core/arch/landmark";
import { DEFAULT_SETTINGS, emptyCase } from "#core/case/case-document";
import { NO_PLAN, type Plan } from "#core/case/plan";
import { type Crossbite, NO_DETAILS } from "#core/case/timepoint";
import type { Vector3 } from "#core/geometry/vector";
import { needsMade, readNeed } from "#core/readings/need";
import type { NeedMethod, NeedReading } from "#core/readings/need-document";
import type { Given, Quantity, Readings } from "#core/readings/readings-document";
import { readSpan } from "#core/readings/span-readings";
import type { PointSet } from "#core/readings/width";
import { inventedPoints } from "./invented-arch";

const of = <T>(given: Given<T>): T => {
  if (given.state === "withheld") throw new Error(given.reason.text);
  return given.reading;
};
const reason = (given: Given<unknown>): string => (given.state === "withheld" ? given.reason.text : "");

/** The upper invented arch with mesiopalatal cusps 11 mm nearer to each other than its buccal ones. */
function upper(timepoint: string, widening: number): PointSet {
  const set = inventedPoints(timepoint, () => widening);
  const palatal = set.points
    .filter(({ place }) => place === "mesiobuccal-cusp-tip")
    .map((point) => {
      const at: Vector3 = [point.at[0] - Math.sign(point.at[0]) * 5.5, point.at[1], point.at[2]];
      return { ...point, place: "mesiopalatal-cusp-tip" as Place, at, inFrame: at };
    });
  return { ...set, points: [...set.points, ...palatal] };
}

/** A lower arch by the widths of its three pairs of places at 36 and 46. */
function lower(fossae: number, gingival: number, grooves: number): PointSet {
  const places = [
    ["central-fossa", fossae],
    ["lingual-gingival", gingival],
    ["buccal-groove", grooves],
  ] as const;
  const points = places.flatMap(([place, width]) =>
    [46, 36].map((tooth, side) => {
      const at: Vector3 = [((side === 0 ? -1 : 1) * width) / 2, 22, 0];
      return { tooth, place, at, inFrame: null };
    }),
  );
  return { timepoint: "lower", points, faults: [] };
}

const bite = (entries: readonly (readonly [number, Crossbite])[]) => ({
  ...NO_DETAILS,
  crossbite: entries.map(([tooth, relation]) => ({ tooth, relation })),
});

interface Changes {
  readonly lowers?: readonly [PointSet | null, PointSet | null];
  readonly plan?: Partial<Plan>;
  readonly words?: Readings["span"]["words"];
  readonly bites?: readonly [readonly (readonly [number, Crossbite])[], readonly (readonly [number, Crossbite])[]];
}

/** Upper arch 40 mm between mesiopalatal cusps and 41 at the gingiva, widened by 3 mm. */
function read({
  lowers = [lower(44, 42, 49), lower(44.5, 42.2, 49.5)],
  plan,
  words = "expansion",
  bites = [[], []],
}: Changes) {
  const [first, second] = [upper("before", 0), upper("after", 3)];
  const { widths } = readSpan(first, second, DEFAULT_SETTINGS, words);
  return readNeed(
    { ...emptyCase(), plan: { ...NO_PLAN, ...plan } },
    {
      earlier: { timepoint: { name: "before", details: bite(bites[0]) }, lower: lowers[0] },
      later: { timepoint: { name: "after", details: bite(bites[1]) }, lower: lowers[1] },
      words,
      widths,
    },
    DEFAULT_SETTINGS,
  );
}

const level = (need: NeedReading | null, name: NeedMethod["level"]): NeedMethod =>
  need!.methods.find((m) => m.level === name)!;

describe("need to the lower arch", () => {
  test("is lower less upper by each pair of places, at each end with the lower arch of its own date", () => {
    const need = read({});
    const cusp = level(need, "cusp");
    // Upper 2·25.5 − 11 = 40 between the mesiopalatal cusps, 2·20.5 = 41 at the gingiva.
    expect(of(cusp.earlier.need).value).toBeCloseTo(4, 12);
    expect(of(cusp.later.need).value).toBeCloseTo(44.5 - 43, 12);
    expect(of(level(need, "gingival").earlier.need).value).toBeCloseTo(1, 12);
    expect(of(level(need, "buccal").earlier.need).value).toBeCloseTo(49 - 51, 12);
    expect(needsMade(need)).toBe(6);
  });

  test("has the errors of both scans, and is named where it is within them", () => {
    const cusp = level(read({}), "cusp");
    const { point, scanner } = of(cusp.earlier.need).components;
    expect(point).toBeCloseTo(Math.SQRT2 * 0.25, 12);
    expect(scanner).toBeCloseTo(Math.SQRT2 * Math.hypot(0.12, 0.02), 12);
    expect(cusp.earlier.withinMeasurementError).toBe(false);
    const equal = level(read({ lowers: [lower(40.3, 42, 49), null] }), "cusp");
    expect(equal.earlier.withinMeasurementError).toBe(true);
  });

  test("is withheld where the lower scan of that date, or a point of it, is missing; another date does not stand in", () => {
    const need = read({ lowers: [lower(44, 42, 49), null] });
    expect(of(level(need, "cusp").earlier.need).value).toBeCloseTo(4, 12);
    expect(reason(level(need, "cusp").later.need)).toBe("needs a lower scan of the same date");
    const full = lower(44, 42, 49);
    const lacking = {
      ...full,
      points: full.points.filter(({ tooth, place }) => tooth !== 36 || place !== "central-fossa"),
    };
    const partly = read({ lowers: [lacking, lacking] });
    expect(reason(level(partly, "cusp").earlier.need)).toContain("central fossa of 36");
    expect(level(partly, "gingival").earlier.need.state).toBe("given");
    expect(needsMade(partly)).toBe(4);
  });

  test("over-correction and expected loss are those entered, and only where the need is beyond error", () => {
    const plan = { overCorrection: 2, expectedLossPercent: 25 };
    const cusp = level(read({ plan }), "cusp");
    expect(cusp.wanted!.value).toBeCloseTo(6, 12);
    expect(cusp.wanted!.expandedUncertainty).toBeCloseTo(of(cusp.earlier.need).expandedUncertainty, 12);
    expect(cusp.wantedAfterLoss!.value).toBeCloseTo(4.5, 12);
    expect(cusp.wantedAfterLoss!.expandedUncertainty).toBeCloseTo(0.75 * cusp.wanted!.expandedUncertainty, 12);
    // Measured +3, of which a quarter is lost: 1.5 + 0.75.
    expect(cusp.needAfterLoss!.value).toBeCloseTo(2.25, 12);
    expect(cusp.needAfterLoss!.expandedUncertainty).toBeGreaterThan(of(cusp.later.need).expandedUncertainty);
    expect(level(read({ plan, lowers: [lower(40.3, 42, 49), null] }), "cusp").wanted).toBeNull();
    expect(level(read({}), "cusp").wanted).toBeNull();
    expect(level(read({ plan: { overCorrection: 2 } }), "cusp").wantedAfterLoss).toBeNull();
    const retention = level(read({ plan, words: "retention" }), "cusp");
    expect([retention.wanted, retention.needAfterLoss]).toEqual([null, null]);
    expect(level(read({ plan }), "buccal").wanted).toBeNull();
  });

  test("both levels' disagreement stands at each end with the errors of both", () => {
    const { disagreement } = read({})!;
    const earlier: Quantity = of(disagreement!.earlier);
    expect(earlier.value).toBeCloseTo(3, 12);
    expect(earlier.components.point).toBeCloseTo(2 * 0.25, 12);
    expect(of(disagreement!.later).value).toBeCloseTo(1.5 - (42.2 - 44), 12);
  });

  test("the bite of each tooth stands as entered, both dates beside each other", () => {
    const need = read({
      lowers: [null, null],
      bites: [
        [
          [16, "crossbite"],
          [13, "edge-to-edge"],
        ],
        [[16, "normal"]],
      ],
    });
    expect(need!.methods).toEqual([]);
    expect(need!.crossbite).toEqual([
      { tooth: 13, earlier: "edge-to-edge", later: null },
      { tooth: 16, earlier: "crossbite", later: "normal" },
    ]);
    expect(read({ lowers: [null, null] })).toBeNull();
  });
});
