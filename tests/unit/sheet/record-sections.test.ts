import { describe, expect, test } from "vitest";
import { made, withheldBecause } from "#core/readings/quantity";
import type { Readings } from "#core/readings/readings-document";
import { buildSheet } from "#core/sheet/build-sheet";
import { readingsCsv } from "#core/sheet/csv";
import { textOf } from "#core/sheet/sheet";
import { inventedCase } from "./invented-case";
import { inventedReadings } from "./invented-readings";

const sheetOf = (changes: Partial<Readings>) =>
  buildSheet({
    document: inventedCase(),
    readings: inventedReadings(changes),
    pictures: null,
    issuedAt: "2026-11-25T10:42:00Z",
  });
const textFor = (changes: Partial<Readings> = {}) => textOf(sheetOf(changes)).replaceAll("\u00a0", " ");

const screw = inventedReadings().screw!;

const quantity = (value: number, U: number) => ({
  value,
  standardUncertainty: U / 2,
  expandedUncertainty: U,
  coverageFactor: 2,
  components: { point: U / 2, registration: 0, scanner: 0 },
});

const retention: NonNullable<Readings["retention"]> = {
  before: "before",
  days: 180,
  daysSinceTurning: 190,
  fixedApplianceActive: true,
  uprightingIntended: true,
  plannedOverCorrection: 2,
  widths: [
    {
      pair: "6-6",
      level: "cusp-tip",
      at: "mesiobuccal cusp tips",
      gain: made(quantity(6, 0.5)),
      loss: made(quantity(1.5, 0.5)),
      withinMeasurementError: false,
      percent: made({ value: 25, low: 18, high: 33 }),
      overCorrection: "within",
    },
    {
      pair: "7-7",
      level: "cusp-tip",
      at: "mesiobuccal cusp tips",
      gain: made(quantity(0.4, 0.5)),
      loss: made(quantity(0.2, 0.5)),
      withinMeasurementError: true,
      percent: withheldBecause("gain-within-error", "not calculable: the gain is not beyond its measurement error"),
      overCorrection: null,
    },
  ],
};

describe("the screw on the sheet", () => {
  test("aimed at, delivered and measured stand beside each other, with turns, opening and travel left", () => {
    const text = textFor();
    expect(text).toContain("6–6, mesiobuccal cusp tips\n4.0 mm\n6.0 mm\n+2.8 mm");
    expect(text).toContain("screw open by 7.3 mm");
    expect(text).toContain("travel left 2.8 mm");
    expect(text).toContain("opened nothing in the patient");
  });

  test("a fan screw names its ends, in the head of the sheet too", () => {
    const ends = (front: number, back: number) => made({ front, back });
    const text = textFor({ screw: { ...screw, fan: true, delivered: ends(7, 3), opening: ends(8, 3.5) } });
    expect(text).toContain("delivered by the screw 7.0 mm front, 3.0 mm back");
    expect(text).toContain("4.0 mm\n3.0 mm back\n+2.8 mm");
  });

  test("no separation is said in its words; what is not recorded is withheld with its reason", () => {
    const sentence = "No separation of the palatal surfaces detected although the screw delivered 6.0 mm.";
    expect(textFor({ screw: { ...screw, separation: { verdict: "none-detected", sentence } } })).toContain(sentence);
    const withheld = withheldBecause("not-entered", "needs the millimetres per turn of the screw");
    const text = textFor({ screw: { ...screw, delivered: withheld } });
    expect(text).toContain("Withheld: needs the millimetres per turn of the screw.");
    expect(text).toContain("delivered by the screw: needs the millimetres per turn of the screw.");
    expect(text).not.toContain("6.0 mm");
  });

  test("where nothing of it is recorded there is no section", () => {
    expect(sheetOf({ screw: null }).sections.map(({ id }) => id)).not.toContain("screw");
    expect(sheetOf({}).sections.map(({ id }) => id)).toContain("screw");
  });
});

describe("time in retention on the sheet", () => {
  const text = textFor({ retention });

  test("loss in mm and in per cent of the gain with its interval, and what cannot be calculated", () => {
    expect(text).toContain("6–6\nmesiobuccal cusp tips\n+6.0\n± 0.5\n+1.5\n± 0.5\n+25 %\n18 to 33");
    expect(text).toContain("not calculable");
    expect(text).toContain("loss in per cent, 7–7, mesiobuccal cusp tips: not calculable");
  });

  test("days, flags and over-correction as entered, and practice named as practice", () => {
    expect(text).toContain("in retention 180 days");
    expect(text).toContain("since the last turn 190 days");
    expect(text).toContain("fixed appliance active");
    expect(text).toContain("part of the loss at the cusps is intended");
    expect(text).toContain(
      "The loss at 6–6, mesiobuccal cusp tips, lies within the planned over-correction of 2.0 mm.",
    );
    expect(text).toContain("Common practice, no source");
    expect(textFor({ retention: { ...retention, days: 400, daysSinceTurning: 410 } })).not.toContain("Common practice");
  });
});

const needEnd = (timepoint: string, upper: number, lower: number) => ({
  timepoint,
  upper: made(quantity(upper, 0.5)),
  lower: made(quantity(lower, 0.5)),
  need: made(quantity(lower - upper, 0.7)),
  withinMeasurementError: false,
});
const NO_LOWER = withheldBecause("needs-scan", "needs a lower scan of the same date");
const need: NonNullable<Readings["need"]> = {
  methods: [
    {
      method: "palatal-cusps-to-fossae",
      level: "cusp",
      upperPoints: "mesiopalatal cusp tips of 16 and 26",
      lowerPoints: "central fossae of 36 and 46",
      basis: "common practice, source not seen",
      earlier: needEnd("before", 40, 44),
      later: { ...needEnd("after", 43, 44), lower: NO_LOWER, need: NO_LOWER, withinMeasurementError: null },
      wanted: quantity(6, 0.7),
      wantedAfterLoss: quantity(4.5, 0.5),
      needAfterLoss: null,
    },
  ],
  disagreement: { earlier: made(quantity(3, 1)), later: NO_LOWER },
  overCorrection: 2,
  expectedLossPercent: 25,
  crossbite: [{ tooth: 16, earlier: "crossbite", later: null }],
};

describe("the need to the lower arch on the sheet", () => {
  const text = textFor({ need });

  test("upper, lower and need by named points, at the relation of the jaws as it is; a missing lower scan is asked for", () => {
    expect(text).toContain("at the present relation of the jaws front to back");
    expect(text).toContain("before\n40.0\n± 0.5\n44.0\n± 0.5\n+4.0\n± 0.7");
    expect(text).toContain("need to the lower arch, after: needs a lower scan of the same date.");
  });

  test("over-correction and loss are called entered; the disagreement of the levels is no indication", () => {
    expect(text).toContain("need with the over-correction of 2.0 mm entered +6.0 mm ± 0.7");
    expect(text).toContain("of which +4.5 mm ± 0.5 would remain after the loss of 25 % entered");
    expect(text).toContain("Need at the cusps less need at the gingival level: before +3.0 mm ± 1.0.");
    expect(text).toContain("no indication for a kind of treatment");
  });

  test("the bite as entered, also where no lower arch is in the case", () => {
    expect(text).toContain("16\ncrossbite\nnot entered");
    const bare = textFor({ need: { ...need, methods: [], disagreement: null } });
    expect(bare).toContain("16\ncrossbite\nnot entered");
    expect(bare).not.toContain("lower − upper");
  });
});

const around = (value: number) => ({ value, low: value - 0.1, high: value + 0.1 });
const repeats: NonNullable<Readings["repeats"]> = {
  levels: [
    {
      level: "cusp-tip",
      widths: {
        state: "given",
        reading: {
          n: 14,
          error: 0.12,
          bias: around(0.03),
          errorWithoutBias: 0.11,
          lower: around(-0.3),
          upper: around(0.36),
          repeatability: 0.33,
          smallestDetectableChange: 0.34,
        },
      },
      changes: { state: "withheld", reason: { code: "too-few-repeats", text: "two repeated readings are needed" } },
      pointFigure: { state: "given", reading: { pointWidth: 0.12, degreesOfFreedom: 14 } },
    },
    {
      level: "central-fossa",
      widths: { state: "withheld", reason: { code: "too-few-repeats", text: "two repeated readings are needed" } },
      changes: { state: "withheld", reason: { code: "too-few-repeats", text: "two repeated readings are needed" } },
      pointFigure: { state: "withheld", reason: { code: "too-few-repeats", text: "10 repeated widths are needed" } },
    },
  ],
};

describe("repeat readings on the sheet", () => {
  const text = textFor({ repeats });

  test("Dahlberg's error, bias, limits of agreement and the smallest detectable change with the number of pairs", () => {
    expect(text).toContain("cusp tips\nwidths\n14\n0.12\n+0.03\n−0.07 to 0.13\n−0.30 to 0.36\n0.34");
    expect(text).toContain("central fossae\nwidths\ntwo repeated readings are needed");
    expect(text).toContain("Intraclass correlation");
    expect(text).toContain("n = 1");
  });

  test("the figure for the hand is said to come from repeats or to be assumed, there and in the method", () => {
    const used = "The uncertainties use the examiner’s own figure for a width: cusp tips 0.12 mm from 14 pairs.";
    expect(text.split(used)).toHaveLength(3);
    expect(text).toContain("The assumed 0.25 mm stays for central fossae (10 repeated widths are needed).");
    expect(textFor()).toContain("The hand’s figure, 0.25 mm a width, is within published errors");
    expect(sheetOf({}).sections.map(({ id }) => id)).not.toContain("repeats");
  });
});

describe("growth on the sheet", () => {
  test("the caution has a section of its own only where there is one", () => {
    const growth = inventedReadings().growth!;
    expect(sheetOf({}).sections.map(({ id }) => id)).not.toContain("growth");
    expect(textFor({ growth: { ...growth, caution: "words of growth" } })).toContain("words of growth");
  });
});

describe("the record in readings.csv", () => {
  const lines = readingsCsv(inventedReadings({ retention, need, repeats })).split("\r\n");
  const start = (text: string) => lines.filter((line) => line.startsWith(text));

  test("turns, delivery, opening, travel, the three values", () => {
    expect(start("net turns,screw,,,,,,given,24,turns")).toHaveLength(1);
    expect(start("delivered by the screw,screw,,,,,,given,6,mm")).toHaveLength(1);
    expect(start("travel left in the screw,screw,,,,,,given,2.7500,mm")).toHaveLength(1);
    expect(start('widening aimed at,plan,,,,"6–6, mesiobuccal cusp tips",,given,4,mm')).toHaveLength(1);
    expect(start("widening measured beside the screw,screw")).toHaveLength(2);
  });

  test("gain, loss and share with their intervals", () => {
    expect(
      start("loss since the end of turning,cusp-tip,6-6,,,mesiobuccal cusp tips,,given,1.5000,mm,1,2"),
    ).toHaveLength(1);
    expect(start("loss of the gain,cusp-tip,6-6,,,mesiobuccal cusp tips,,given,25,percent,18,33")).toHaveLength(1);
    expect(start("loss of the gain,cusp-tip,7-7,,,mesiobuccal cusp tips,,withheld")).toHaveLength(1);
  });

  test("need by method and end, its plan, the bite", () => {
    expect(
      start('"need, lower less upper",palatal-cusps-to-fossae,6-6,,,before,,given,4,mm,3.3000,4.7000'),
    ).toHaveLength(1);
    expect(start('"need, lower less upper",palatal-cusps-to-fossae,6-6,,,after,,withheld')).toHaveLength(1);
    expect(start("need with over-correction,palatal-cusps-to-fossae,6-6,,,before,,given,6,mm")).toHaveLength(1);
    expect(start("bite as entered,,,16,,earlier,,given,crossbite")).toHaveLength(1);
  });

  test("repeat readings by level", () => {
    expect(start("Dahlberg error,cusp-tip,,,,widths,,given,0.1200,mm")).toHaveLength(1);
    expect(start("point figure used,cusp-tip,,,,,,given,0.1200,mm")).toHaveLength(1);
    expect(start("repeat readings,central-fossa,,,,widths,,withheld")).toHaveLength(1);
  });
});
