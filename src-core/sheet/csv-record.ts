import type { GrowthReading } from "../readings/growth-document";
import type { Given, Interval, Quantity, Readings } from "../readings/readings-document";
import type { RetentionReading } from "../readings/retention-document";
import type { ScrewReading } from "../readings/screw-document";

import type { Row } from "./csv-row";

/** Rows of readings.csv for what stands in the record beside the scans. */
export const recordRows = ({ screw, retention, growth }: Readings): Row[] => [
  ...(growth === null ? [] : ageRows(growth)),
  ...(screw === null ? [] : screwRows(screw)),
  ...(retention === null ? [] : retentionRows(retention)),
];

/** A reading with its 95 % interval, or its reason. */
export function quantityRow(of: Row, unit: string, given: Given<Quantity>): Row {
  if (given.state === "withheld") return { ...of, state: "withheld", reason: given.reason.text };
  const { value, expandedUncertainty: U } = given.reading;
  return { ...of, state: "given", value, unit, low_95: value - U, high_95: value + U };
}

function intervalRow(of: Row, unit: string, given: Given<Interval>): Row {
  if (given.state === "withheld") return { ...of, state: "withheld", reason: given.reason.text };
  const { value, low, high } = given.reading;
  return { ...of, state: "given", value, unit, low_95: low, high_95: high };
}

/** Ages in months, from the least to the most that the recorded birth allows. */
const ageRows = ({ ages }: GrowthReading): Row[] =>
  ages.flatMap(({ timepoint, leastMonths, mostMonths }) => {
    const of = { at: timepoint, state: "given", unit: "months" };
    return [
      { ...of, reading: "age, at least", value: leastMonths },
      { ...of, reading: "age, at most", value: mostMonths },
    ];
  });

function screwRows(screw: ScrewReading): Row[] {
  const level = "screw";
  const count = (reading: string, value: number): Row => ({ reading, level, state: "given", value, unit: "turns" });
  const ends = screw.fan ? (["front", "back"] as const) : (["front"] as const);
  const lengths = (
    [
      ["delivered by the screw", screw.delivered],
      ["screw opened before fitting", screw.openedBeforeFitting],
      ["opening of the screw", screw.opening],
    ] as const
  ).flatMap(([reading, given]) =>
    given.state === "withheld"
      ? [{ reading, level, state: "withheld", reason: given.reason.text }]
      : ends.map(
          (end): Row => ({
            reading,
            level,
            at: screw.fan ? `${end} end` : "",
            state: "given",
            value: given.reading[end],
            unit: "mm",
          }),
        ),
  );
  const { travelLeft, separation } = screw;
  return [
    count("net turns", screw.netTurns),
    count("turns made", screw.cumulatedTurns),
    ...lengths,
    travelLeft.state === "given"
      ? { reading: "travel left in the screw", level, state: "given", value: travelLeft.reading, unit: "mm" }
      : { reading: "travel left in the screw", level, state: "withheld", reason: travelLeft.reason.text },
    ...screw.places.flatMap(({ at, target, measured }): Row[] => [
      ...(target === null
        ? []
        : [{ reading: "widening aimed at", level: "plan", at, state: "given", value: target, unit: "mm" }]),
      quantityRow({ reading: "widening measured beside the screw", level, at }, "mm", measured),
    ]),
    ...(separation === null
      ? []
      : [
          {
            reading: "separation of the palatal surfaces",
            level,
            state: separation.verdict === "cannot-be-told" ? "withheld" : "given",
            value: separation.verdict,
            reason: separation.sentence,
          },
        ]),
  ];
}

function retentionRows({ days, daysSinceTurning, widths }: RetentionReading): Row[] {
  const level = "retention";
  const interval = (reading: string, value: number | null): Row[] =>
    value === null ? [] : [{ reading, level, state: "given", value, unit: "days" }];
  return [
    ...interval("days in retention", days),
    ...interval("days since the last turn", daysSinceTurning),
    ...widths.flatMap(({ pair, level: at, at: words, gain, loss, percent }): Row[] => {
      const of = { pair, level: at, at: words };
      return [
        quantityRow({ ...of, reading: "gain by expansion" }, "mm", gain),
        quantityRow({ ...of, reading: "loss since the end of turning" }, "mm", loss),
        intervalRow({ ...of, reading: "loss of the gain" }, "percent", percent),
      ];
    }),
  ];
}
