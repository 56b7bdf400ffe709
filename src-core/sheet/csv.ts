import { isRight } from "../arch/teeth";
import type {
  Given,
  HalvesReading,
  Interval,
  PatternReading,
  Quantity,
  Readings,
  WidthReading,
} from "../readings/readings-document";
import { archRows } from "./csv-arch";
import { needRows } from "./csv-need";
import { recordRows } from "./csv-record";
import { repeatRows } from "./csv-repeats";
import { COLUMNS, changeOf, quantityOf, type Row } from "./csv-row";
import { againstWords, halvesWords } from "./words";

/**
 * The readings as a table for spreadsheets and statistics (RFC 4180: commas, CRLF, quotes doubled), UTF-8. One row per
 * reading; lengths mm, angles degrees, point as decimal sign, plain hyphen as minus, four decimals.
 */

/** The text of readings.csv: one document's readings, or those of several spans one after the other. */
export function readingsCsv(given: Readings | readonly Readings[]): string {
  const documents = "widths" in given ? [given] : given;
  const lines = [COLUMNS.join(","), ...documents.flatMap((readings) => rowsOf(readings).map(line))];
  return `${lines.join("\r\n")}\r\n`;
}

function rowsOf(readings: Readings): Row[] {
  const always: Row = { earlier: readings.span.from, later: readings.span.to, invented: readings.invented };
  const rows = [
    ...readings.widths.map(widthRow),
    ...readings.patterns.flatMap(patternRows),
    ...halvesRows(readings.halves),
    ...crownRows(readings),
    ...readings.tipping.flatMap(tippingRows),
    ...recordRows(readings),
    ...(readings.need === null ? [] : needRows(readings.need)),
    ...(readings.repeats === null ? [] : repeatRows(readings.repeats)),
    ...archRows(readings),
    ...surfaceRows(readings),
  ];
  return rows.map((row) => ({ ...row, ...always }));
}

const line = (row: Row): string => COLUMNS.map((column) => field(row[column] ?? null)).join(",");

/**
 * One field. Text that a spreadsheet would take for a formula (=, +, −, @, tab or return in front) gets an apostrophe
 * before it, which spreadsheets show as text; numbers need none.
 */
function field(value: string | number | boolean | null): string {
  if (value === null) return "";
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (typeof value === "number") return numberText(value);
  const guarded = /^[=+\-@\t\r\n]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(guarded) ? `"${guarded.replaceAll('"', '""')}"` : guarded;
}

function numberText(value: number): string {
  if (Number.isInteger(value)) return String(value);
  const text = value.toFixed(4);
  return Number(text) === 0 ? "0.0000" : text;
}

function widthRow(w: WidthReading): Row {
  const reasons = [w.before, w.after, w.change].flatMap((g) => (g.state === "withheld" ? [g.reason.text] : []));
  const change = w.change.state === "given" ? w.change.reading : null;
  return {
    reading: "width",
    level: w.level,
    pair: w.pair,
    tooth_right: w.teeth[0],
    tooth_left: w.teeth[1],
    at: w.at,
    kind: w.kind,
    state: w.change.state,
    value: change?.value ?? null,
    unit: "mm",
    ...quantityOf("earlier", w.before),
    ...quantityOf("later", w.after),
    ...changeOf(w.change),
    within_measurement_error: w.withinMeasurementError,
    transverse_change_mm: w.transverseChange,
    station_mm: w.station,
    reason: [...new Set(reasons)].join("; "),
  };
}

function patternRows(given: Given<PatternReading>): Row[] {
  if (given.state === "withheld") return [{ reading: "pattern", state: "withheld", reason: given.reason.text }];
  const p = given.reading;
  const row = (reading: string, unit: string, interval: Interval): Row => ({
    reading,
    level: p.level,
    state: "given",
    value: interval.value,
    unit,
    low_95: interval.low,
    high_95: interval.high,
  });
  const withheld = (reading: string, reason: string): Row => ({ reading, level: p.level, state: "withheld", reason });
  return [
    { reading: "pattern verdict", level: p.level, state: "given", value: p.verdict, reason: p.because },
    row("fitted change at the canines", "mm", p.atCanines),
    row("fitted change at the first molars", "mm", p.atMolars),
    row("difference front less back", "mm", p.difference),
    row("slope towards the back", "mm per 10 mm", p.slopePer10mm),
    row("opening angle of the teeth", "degrees", p.openingAngleOfTeeth),
    p.frontToBack.state === "given"
      ? { ...row("front to back ratio", "1", p.frontToBack.reading.ratio), pair: p.frontToBack.reading.of }
      : withheld("front to back ratio", p.frontToBack.reason.text),
    p.hinge.state === "given"
      ? row("hinge of the fitted line behind the canines", "mm", p.hinge.reading)
      : withheld("hinge of the fitted line behind the canines", p.hinge.reason.text),
  ];
}

function halvesRows(given: Given<HalvesReading>): Row[] {
  if (given.state === "withheld") return [{ reading: "halves", state: "withheld", reason: given.reason.text }];
  const h = given.reading;
  const level = halvesWords(h.of);
  const of = (reading: string, unit: string, interval: Interval): Row => ({
    reading,
    level,
    state: "given",
    value: interval.value,
    unit,
    low_95: interval.low,
    high_95: interval.high,
  });
  const row = (reading: string, unit: string, { value, expandedUncertainty: U }: Quantity): Row =>
    of(reading, unit, { value, low: value - U, high: value + U });
  const axis = "axis of the halves behind the canines";
  return [
    { reading: "halves verdict", level, state: "given", value: h.verdict, reason: h.because },
    {
      ...row("opening of the halves in front", "mm", h.atCanines),
      at: h.places.canines,
      station_mm: h.stations.canines,
    },
    {
      ...row("opening of the halves at the back", "mm", h.atMolars),
      at: h.places.molars,
      station_mm: h.stations.molars,
    },
    of("difference front less back", "mm", h.difference),
    row("opening angle of the halves", "degrees", h.openingAngle),
    row("roll of the halves", "degrees", h.roll),
    row("pitch of the halves", "degrees", h.pitch),
    row("left half forwards", "mm", h.forwardShift),
    row("left half to occlusal", "mm", h.occlusalShift),
    row("turn about the screw axis", "degrees", h.turn),
    ...(h.axis.state === "given"
      ? [
          of(axis, "mm", h.axis.reading.behindCanines),
          of("axis of the halves to the left of the median plane", "mm", h.axis.reading.toLeft),
        ]
      : [{ reading: axis, level, state: "withheld", reason: h.axis.reason.text }]),
  ];
}

const CROWN_ROWS = [
  ["buccalTipping", "tipping to buccal", "degrees"],
  ["mesialTipping", "tipping to mesial", "degrees"],
  ["turning", "turning, mesial side to buccal", "degrees"],
  ["buccalShift", "shift to buccal", "mm"],
  ["mesialShift", "shift to mesial", "mm"],
  ["occlusalShift", "shift to occlusal", "mm"],
] as const;

function crownRows(readings: Readings): Row[] {
  const { crowns, crownPairs } = readings;
  const own = `against its ${againstWords(readings)}`;
  const row = (reading: string, unit: string, of: Row, { value, expandedUncertainty: U }: Quantity): Row => ({
    ...of,
    reading,
    state: "given",
    value,
    unit,
    low_95: value - U,
    high_95: value + U,
  });
  const rows = crowns.flatMap(({ tooth, motion }): Row[] => {
    const name: Row = isRight(tooth) ? { tooth_right: tooth } : { tooth_left: tooth };
    if (motion.state === "withheld")
      return [{ ...name, reading: "crown", state: "withheld", reason: motion.reason.text }];
    const { againstHalf, againstArch, palatalCuspDrop: drop } = motion.reading;
    const motions = [
      [own, againstHalf],
      ["against the arch", againstArch],
    ] as const;
    const cusp = (level: string, q: Quantity) => row("palatal cusp to occlusal", "mm", { ...name, level }, q);
    const drops =
      drop?.state !== "given"
        ? []
        : [
            cusp(own, drop.reading.againstHalf),
            ...(drop.reading.againstBuccalCusp === null
              ? []
              : [cusp("against the buccal cusp", drop.reading.againstBuccalCusp)]),
          ];
    return [
      ...motions.flatMap(([level, given]): Row[] =>
        given.state === "withheld"
          ? [{ ...name, reading: "crown", level, state: "withheld", reason: given.reason.text }]
          : CROWN_ROWS.map(([key, reading, unit]) => row(reading, unit, { ...name, level }, given.reading[key])),
      ),
      ...drops,
    ];
  });
  return [
    ...rows,
    ...crownPairs.map(({ pair, angle }) => row("angle between the crowns, to the cheek", "degrees", { pair }, angle)),
  ];
}

function tippingRows({
  pair,
  gingivalToCusp,
  pivotAboveGingival,
  anglesFromPoints,
}: Readings["tipping"][number]): Row[] {
  const of = (reading: string, unit: string, given: Given<Interval>): Row =>
    given.state === "withheld"
      ? { reading, pair, state: "withheld", reason: given.reason.text }
      : {
          reading,
          pair,
          state: "given",
          value: given.reading.value,
          unit,
          low_95: given.reading.low,
          high_95: given.reading.high,
        };
  const between = ({ value, expandedUncertainty: U }: Quantity): Interval => ({
    value,
    low: value - U,
    high: value + U,
  });
  return [
    of("gingival to cusp ratio", "1", gingivalToCusp),
    of("apparent frontal pivot above the gingival points", "mm", pivotAboveGingival),
    ...anglesFromPoints.map(({ tooth, angle }) => ({
      ...of(
        "tipping to buccal from points",
        "degrees",
        angle.state === "withheld" ? angle : { state: "given", reading: between(angle.reading) },
      ),
      ...(isRight(tooth) ? { tooth_right: tooth } : { tooth_left: tooth }),
    })),
  ];
}

function surfaceRows({ registrations, distance }: Readings): Row[] {
  const fits = registrations.map(
    (given): Row =>
      given.state === "given"
        ? { reading: "fit RMS", at: given.reading.region, state: "given", value: given.reading.rms, unit: "mm" }
        : { reading: "fit RMS", state: "withheld", reason: given.reason.text },
  );
  if (distance.state === "withheld") {
    return [...fits, { reading: "signed distance", state: "withheld", reason: distance.reason.text }];
  }
  const { mean, rms, percentile5, percentile95, robustScale, registration, painted } = distance.reading;
  const row = (reading: string, value: number): Row => ({
    reading,
    at: registration,
    state: "given",
    value,
    unit: "mm",
  });
  return [
    ...fits,
    row("signed distance mean", mean),
    row("signed distance RMS", rms),
    row("signed distance 5th percentile", percentile5),
    row("signed distance 95th percentile", percentile95),
    row("signed distance robust scale", robustScale),
    ...(painted === null
      ? []
      : [
          row("signed distance mean over the painted reference", painted.mean),
          row("signed distance RMS over the painted reference", painted.rms),
          row("signed distance 5th percentile over the painted reference", painted.percentile5),
          row("signed distance 95th percentile over the painted reference", painted.percentile95),
          row("signed distance robust scale over the painted reference", painted.robustScale),
        ]),
  ];
}
