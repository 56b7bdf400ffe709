import { isRight } from "../arch/teeth";
import type { SpanReading } from "../readings/arch-document";
import type { Given, Quantity } from "../readings/quantity";
import type { Readings } from "../readings/readings-document";
import { changeOf, quantityOf, type Row } from "./csv-row";

const CSV_UNITS: Readonly<Record<SpanReading["unit"], string>> = {
  mm: "mm",
  mm2: "mm2",
  mm3: "mm3",
  degrees: "degrees",
  percent: "percent",
  "1": "1",
};

/**
 * Arch and palate: the change as value with its interval, both times beside it in the reading's unit; lengths also in the
 * columns of the widths.
 */
export function archRows({
  arch: { arch, predictedPerimeters, midline, pairs, palate, parts, teeth },
}: Readings): Row[] {
  const row = (level: string, reading: SpanReading | null): Row[] => {
    if (reading === null) return [];
    const { name, by, unit, teeth: numbers, before, after, change, withinMeasurementError } = reading;
    const sides = { right: numbers.filter(isRight), left: numbers.filter((tooth) => !isRight(tooth)) };
    const q = change.state === "given" ? change.reading : null;
    const reasons = [before, after, change].flatMap((g) => (g.state === "withheld" ? [g.reason.text] : []));
    return [
      {
        reading: name,
        level,
        tooth_right: sides.right.length === 1 ? sides.right[0]! : null,
        tooth_left: sides.left.length === 1 ? sides.left[0]! : null,
        at: by,
        state: change.state,
        value: q?.value ?? null,
        unit: CSV_UNITS[unit],
        low_95: q === null ? null : q.value - q.expandedUncertainty,
        high_95: q === null ? null : q.value + q.expandedUncertainty,
        ...timeOf("earlier", before),
        ...timeOf("later", after),
        ...(unit === "mm"
          ? { ...quantityOf("earlier", before), ...quantityOf("later", after), ...changeOf(change) }
          : {}),
        within_measurement_error: withinMeasurementError,
        reason: [...new Set(reasons)].join("; "),
      },
    ];
  };
  return [
    ...[...arch, ...midline, ...pairs].flatMap((reading) => row("arch", reading)),
    ...predictedPerimeters.map(
      ({ method, rule, by, source, gain }): Row => ({
        reading: `predicted perimeter gain, ${method}`,
        level: "arch",
        at: `${rule}; ${by}; ${source}`,
        state: gain.state,
        value: gain.state === "given" ? gain.reading.value : null,
        unit: "mm",
        ...changeOf(gain),
        reason: gain.state === "withheld" ? gain.reason.text : "",
      }),
    ),
    ...palate.flatMap((reading) => row("palate", reading)),
    ...parts.flatMap(({ level, transverse, right, left }) =>
      [transverse, right, left].flatMap((reading) => row(level, reading)),
    ),
    ...teeth.flatMap(({ inclination, rotation, crownHeight }) =>
      [inclination, rotation, crownHeight].flatMap((reading) => row("tooth", reading)),
    ),
  ];
}

function timeOf(name: "earlier" | "later", given: Given<Quantity>): Row {
  if (given.state === "withheld") return {};
  return { [`${name}_value`]: given.reading.value, [`${name}_U95`]: given.reading.expandedUncertainty };
}
