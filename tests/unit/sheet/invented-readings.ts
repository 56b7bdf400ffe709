import { DEFAULT_SETTINGS } from "#core/case/case-document";
import type { ArchReadings } from "#core/readings/arch-document";
import { readArch } from "#core/readings/arch-readings";
import type {
  CrownMotion,
  CrownReading,
  Given,
  Interval,
  PatternReading,
  Quantity,
  Readings,
  UsedLandmark,
  WidthLevel,
  WidthReading,
} from "#core/readings/readings-document";
import { inventedArch, moving, scanOf } from "../readings/invented-full-arch";

/**
 * Invented readings of an invented, fan-shaped expansion: no patient, no scan. Every number is made up so that the
 * sheet can be looked at; nothing here is evidence for anything.
 */

const quantity = (value: number, point: number, registration: number, scanner: number): Quantity => {
  const u = Math.sqrt(point * point + registration * registration + scanner * scanner);
  return {
    value,
    standardUncertainty: u,
    expandedUncertainty: 2 * u,
    coverageFactor: 2,
    components: { point, registration, scanner },
  };
};

const given = <T>(reading: T): Given<T> => ({ state: "given", reading });

const needs = <T>(tooth: number, timepoint: string): Given<T> => ({
  state: "withheld",
  reason: {
    code: "needs-landmark",
    text: `needs the palatal gingival point of ${tooth} on the ${timepoint} scan`,
    needs: [{ timepoint, tooth, place: "palatal-gingival" }],
  },
});

function width(
  pair: string,
  teeth: [number, number],
  level: WidthLevel,
  at: string,
  station: number,
  before: number,
  change: number,
  scanner: number,
): WidthReading {
  return {
    pair,
    teeth,
    level,
    at,
    kind: "straight",
    before: given(quantity(before, 0.18, 0, scanner)),
    after: given(quantity(before + change, 0.18, 0, scanner)),
    change: given(quantity(change, 0.12, 0, scanner * Math.SQRT2)),
    transverseChange: change - 0.02,
    changeIfCarried: null,
    withinMeasurementError: false,
    station,
  };
}

const WIDTHS: WidthReading[] = [
  width("3-3", [13, 23], "cusp-tip", "cusp tips", 0, 30.12, 6.08, 0.05),
  width("4-4", [14, 24], "cusp-tip", "buccal cusp tips", 6.9, 39.86, 5.17, 0.07),
  width("5-5", [15, 25], "cusp-tip", "buccal cusp tips", 13.6, 44.91, 3.98, 0.09),
  width("6-6", [16, 26], "cusp-tip", "mesiobuccal cusp tips", 21.5, 50.63, 2.79, 0.12),
  width("7-7", [17, 27], "cusp-tip", "mesiobuccal cusp tips", 31.2, 54.71, 0.83, 0.14),
  width("3-3", [13, 23], "palatal-gingival", "palatal gingival points", 0, 24.24, 4.88, 0.05),
  width("4-4", [14, 24], "palatal-gingival", "palatal gingival points", 6.9, 28.05, 3.71, 0.07),
  width("6-6", [16, 26], "palatal-gingival", "palatal gingival points", 21.5, 35.31, 1.68, 0.12),
  {
    ...width("7-7", [17, 27], "palatal-gingival", "palatal gingival points", 31.2, 39.2, 0.3, 0.14),
    after: needs(27, "after"),
    change: needs(27, "after"),
    transverseChange: null,
    withinMeasurementError: null,
  },
];

const around = (value: number, half: number): Interval => ({ value, low: value - half, high: value + half });

function pattern(level: PatternReading["level"], intercept: number, slope: number, because: string): PatternReading {
  const rows = WIDTHS.filter((w) => w.level === level && w.change.state === "given");
  const line = (station: number) => intercept + slope * station;
  const half = (station: number) => 0.22 + 0.012 * Math.abs(station - 15);
  return {
    level,
    verdict: "fan-front",
    because,
    pairs: rows.map((w) => ({
      pair: w.pair,
      station: w.station!,
      change: w.change.state === "given" ? w.change.reading.value : 0,
      standardUncertainty: w.change.state === "given" ? w.change.reading.standardUncertainty : 0,
    })),
    atCanines: around(line(0), 0.4),
    atMolars: around(line(21.5), 0.35),
    stations: { canines: 0, molars: 21.5 },
    difference: around(-slope * 21.5, 0.62),
    difference90: around(-slope * 21.5, 0.52),
    slopePer10mm: around(slope * 10, 0.29),
    openingAngleOfTeeth: around(-slope * 57.3, 1.65),
    frontToBack: given({ of: "3-3 : 6-6", ratio: { value: 2.18, low: 1.86, high: 2.63 } }),
    hinge: given({ value: -intercept / slope, low: -intercept / slope - 2.6, high: -intercept / slope + 3.4 }),
    band: Array.from({ length: 17 }, (_, i) => -1 + i * 2.1).map((s): [number, number, number, number] => [
      s,
      line(s),
      line(s) - half(s),
      line(s) + half(s),
    ]),
    chiSquare: 1.31,
    degreesOfFreedom: rows.length - 2,
    widened: false,
    delta: 1,
  };
}

/** Where the invented points stand in the invented file's coordinates (here the same as the arch frame), mm. */
function landmarks(): UsedLandmark[] {
  const marks: UsedLandmark[] = [];
  for (const w of WIDTHS) {
    for (const timepoint of ["before", "after"] as const) {
      const reading = w[timepoint];
      if (reading.state === "withheld") continue;
      for (const [side, tooth] of [
        [-1, w.teeth[0]],
        [1, w.teeth[1]],
      ] as const) {
        const used: [number, number, number] = [
          (side * reading.reading.value) / 2,
          8 + w.station!,
          w.level === "cusp-tip" ? 0 : 6,
        ];
        const place =
          w.level === "palatal-gingival"
            ? "palatal-gingival"
            : tooth % 10 === 3
              ? "cusp-tip"
              : w.at.replace(/ cusp tips$/, "-cusp-tip");
        marks.push({
          timepoint,
          tooth,
          place,
          placed: used,
          used,
          how: "snapped-to-highest",
          placedOn: timepoint,
          carried: null,
        });
      }
    }
  }
  for (const timepoint of ["before", "after"]) {
    marks.push({
      timepoint,
      tooth: null,
      place: "incisive-papilla",
      placed: [0, 2, 8],
      used: [0, 2, 8],
      how: "dropped-to-surface",
      placedOn: timepoint,
      carried: null,
    });
    for (const y of [10, 18, 26, 34]) {
      marks.push({
        timepoint,
        tooth: null,
        place: "median-raphe",
        placed: [0, y, 14],
        used: [0, y, 14],
        how: "dropped-to-surface",
        placedOn: timepoint,
        carried: null,
      });
    }
  }
  return marks;
}

const identity = { rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1], translation: [0, 0, 0] };

/** An invented crown that tipped to buccal. */
function crown(tooth: number, tipping: number): CrownReading {
  const motion: CrownMotion = {
    buccalTipping: quantity(tipping, 0.05, 0.15, 0.15),
    mesialTipping: quantity(-0.4, 0.05, 0.15, 0.15),
    turning: quantity(1.2, 0.05, 0.15, 0.15),
    buccalShift: quantity(0.62, 0.02, 0.03, 0.09),
    mesialShift: quantity(0.11, 0.02, 0.03, 0.09),
    occlusalShift: quantity(0.05, 0.02, 0.03, 0.09),
  };
  return {
    tooth,
    againstHalf: given(motion),
    againstArch: given(motion),
    palatalCuspDrop: given({
      againstHalf: quantity(0.41, 0.02, 0.03, 0.09),
      againstBuccalCusp: quantity(0.52, 0.02, 0.03, 0.09),
    }),
    ...identity,
    rms: 0.031,
    inlierShare: 0.97,
    overlap: 0.99,
    condition: 7.2,
    area: 141,
  };
}

/** An invented screw of 24 turns of 0.25 mm. */
function inventedScrew(): Readings["screw"] {
  const ends = (value: number) => given({ front: value, back: value });
  return {
    phases: [{ direction: "opening", turns: 24, from: null, to: null }],
    phasesOutside: 0,
    phasesUndated: 1,
    netTurns: 24,
    cumulatedTurns: 24,
    fan: false,
    delivered: ends(6),
    openedBeforeFitting: ends(1.25),
    opening: ends(7.25),
    travelLeft: given(2.75),
    places: [
      { at: "6–6, mesiobuccal cusp tips", target: 4, end: "back", measured: given(quantity(2.79, 0.12, 0, 0.17)) },
      {
        at: "halves of the palate at the canines",
        target: null,
        end: "front",
        measured: given(quantity(4.31, 0.03, 0.02, 0.07)),
      },
    ],
    separation: { verdict: "detected", sentence: "The two palatal surfaces moved apart beyond measurement error." },
    remarks: ["1 phase of turning without a date is taken to lie between the two scans."],
  };
}

/** The readings, with what a test wants changed. */
/** Arch readings of the invented arch, each side 2 mm outwards. */
function inventedArchReadings(): ArchReadings {
  const before = inventedArch();
  const after = moving(before, ({ tooth, at: [x, y, z] }) => [tooth === null ? x : x + (tooth < 20 ? -2 : 2), y, z]);
  const scan = (timepoint: string, spots: typeof before) => scanOf(timepoint, spots, DEFAULT_SETTINGS);
  return readArch(scan("before", before), scan("after", after), new Set([16]), DEFAULT_SETTINGS).arch;
}

export function inventedReadings(changes: Partial<Readings> = {}): Readings {
  return {
    version: 1,
    software: { name: "Raphe", version: "0.1.0" },
    invented: true,
    span: { from: "before", to: "after", words: "expansion" },
    scans: [
      {
        timepoint: "before",
        sha256: "3f9a04c177d0",
        format: "STL binary",
        triangles: 128_400,
        vertices: 64_612,
        unit: "mm",
      },
      {
        timepoint: "after",
        sha256: "77d0e1b2a4c4",
        format: "PLY binary",
        triangles: 131_022,
        vertices: 65_903,
        unit: "mm",
      },
    ],
    assumptions: { pointWidth: 0.25, scannerAtCanines: 0.05, scannerAtMolars: 0.12, scannerLocal: 0.02, delta: 1 },
    frames: [
      { timepoint: "before", label: "frame from raphe and papilla", ...identity },
      { timepoint: "after", label: "frame from raphe and papilla", ...identity },
    ],
    widths: WIDTHS,
    patterns: [
      given(
        pattern(
          "cusp-tip",
          6.22,
          -0.168,
          "The change falls by 1.7 mm for every 10 mm towards the back, and the difference of 3.6 mm between canines and first molars exceeds δ and its interval excludes zero.",
        ),
      ),
      given(
        pattern(
          "palatal-gingival",
          4.8,
          -0.147,
          "The change falls by 1.5 mm for every 10 mm towards the back; the difference exceeds δ and its interval excludes zero.",
        ),
      ),
    ],
    headline: [
      { text: "Wider by ", strong: false },
      { text: "6.1 mm at the canines", strong: true },
      { text: " and ", strong: false },
      { text: "2.8 mm at the first molars:", strong: true },
      { text: " the arch opened ", strong: false },
      { text: "fan-shaped, wider in front.", strong: true },
    ],
    because:
      "The change falls by 1.7 mm for every 10 mm towards the back (95 % interval 1.4 to 2.0), more than measurement error explains. The palatal gingival level agrees.",
    registrations: [
      given({
        region: "whole-palate",
        label: "whole palate",
        rotation: identity.rotation,
        translation: identity.translation,
        iterations: 31,
        points: 6120,
        rms: 0.087,
        inlierShare: 0.81,
        condition: 14.2,
        sentence:
          "The whole palate fits within 0.09 mm (RMS) over 6,120 points; it shares the opening about evenly between the sides.",
      }),
    ],
    halves: given({
      of: "palate",
      label: "relative motion of the two palatal surfaces; neither suture nor bone",
      verdict: "fan-front",
      because:
        "The two palatal surfaces moved apart 2.6 mm more at the canines than at the first molars (95 % interval 2.2 to 3.0), more than the agreed 1.0 mm and more than measurement error explains.",
      rotation: identity.rotation,
      translation: identity.translation,
      atCanines: quantity(4.31, 0.03, 0.02, 0.07),
      atMolars: quantity(1.72, 0.03, 0.03, 0.17),
      places: { canines: "the canines", molars: "the first molars" },
      stations: { canines: 0, molars: 21.5 },
      heights: { canines: 9.4, molars: 15.8 },
      difference: around(2.59, 0.4),
      difference90: around(2.59, 0.33),
      openingAngle: quantity(6.91, 0.02, 0.08, 0.26),
      roll: quantity(1.12, 0.1, 0.05, 0.26),
      pitch: quantity(-0.12, 0.1, 0.08, 0.26),
      forwardShift: quantity(0.08, 0.02, 0.02, 0.12),
      occlusalShift: quantity(-0.05, 0.02, 0.02, 0.12),
      turn: quantity(7.0, 0.02, 0.08, 0.26),
      axis: given({
        behindCanines: around(36.1, 2.8),
        toLeft: around(-0.4, 1.2),
        direction: [0.02, 0.16, 0.99],
        shiftAlong: 0.06,
      }),
      delta: 1,
    }),
    crowns: [
      { tooth: 16, motion: given(crown(16, 3.1)) },
      { tooth: 26, motion: given(crown(26, 0.2)) },
      {
        tooth: 27,
        motion: {
          state: "withheld",
          reason: { code: "crown-changed", text: "reason of the crown", needs: [] },
        },
      },
    ],
    arch: inventedArchReadings(),
    crownPairs: [{ pair: "6-6", angle: quantity(6.2, 0.1, 0.2, 0.3) }],
    tipping: [
      {
        pair: "3-3",
        gingivalToCusp: given(around(0.8, 0.08)),
        pivotAboveGingival: given(around(24, 9)),
        height: 6.1,
        anglesFromPoints: [{ tooth: 13, angle: given(quantity(3.4, 1.1, 0, 0.2)) }],
      },
      {
        pair: "6-6",
        gingivalToCusp: {
          state: "withheld",
          reason: { code: "denominator-within-error", text: "reason of the gingival ratio", needs: [] },
        },
        pivotAboveGingival: {
          state: "withheld",
          reason: { code: "denominator-within-error", text: "reason of the gingival ratio", needs: [] },
        },
        height: 6.4,
        anglesFromPoints: [],
      },
    ],
    screw: inventedScrew(),
    retention: null,
    need: null,
    repeats: null,
    growth: {
      ages: [
        { timepoint: "before", leastMonths: 170, mostMonths: 182 },
        { timepoint: "after", leastMonths: 172, mostMonths: 184 },
      ],
      days: 86,
      caution: null,
    },
    distance: given({
      registration: "whole-palate",
      mean: 0.12,
      rms: 0.94,
      percentile5: -1.8,
      percentile95: 1.9,
      robustScale: 0.61,
      valued: 0.93,
      histogram: {
        limit: 2,
        counts: [
          0, 40, 90, 120, 160, 220, 310, 420, 560, 700, 900, 1200, 1300, 1000, 800, 610, 470, 330, 240, 170, 110, 80,
          30, 0,
        ],
        below: 210,
        above: 190,
      },
      painted: null,
    }),
    landmarks: landmarks(),
    warnings: [
      {
        code: "landmark-moved-far",
        timepoint: "after",
        text: "The cusp tip of 23 was placed 0.8 mm from the highest point of the cusp; check it.",
      },
    ],
    asked: 9,
    made: 8,
    cautions: [
      "A surface scan shows neither suture, roots nor bone.",
      "These measurements support and never replace the judgement of a licensed clinician and local rules.",
      "Which half moved in the head cannot be known from two arch scans.",
      "Points placed anew on each scan re-find the highest point, which shifts as a crown tips (0.36 mm at 10°).",
    ],
    ...changes,
  };
}
