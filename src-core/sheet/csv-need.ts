import { isRight } from "../arch/teeth";
import type { NeedReading } from "../readings/need-document";
import { quantityRow } from "./csv-record";
import type { Row } from "./csv-row";

/** Rows of readings.csv for the need to the lower arch: by method, at both ends; and the bite as entered. */
export function needRows({ methods, disagreement, crossbite }: NeedReading): Row[] {
  const ends = methods.flatMap(({ method, earlier, later, wanted, wantedAfterLoss, needAfterLoss }): Row[] => {
    const row = (reading: string, at: string): Row => ({ reading, level: method, pair: "6-6", at });
    const planned = [
      ["need with over-correction", earlier.timepoint, wanted],
      ["need with over-correction, after the loss entered", earlier.timepoint, wantedAfterLoss],
      ["need after the loss entered", later.timepoint, needAfterLoss],
    ] as const;
    return [
      ...[earlier, later].flatMap((end) => [
        quantityRow(row("upper width", end.timepoint), "mm", end.upper),
        quantityRow(row("lower width", end.timepoint), "mm", end.lower),
        quantityRow(row("need, lower less upper", end.timepoint), "mm", end.need),
      ]),
      ...planned.flatMap(([reading, at, quantity]) =>
        quantity === null ? [] : [quantityRow(row(reading, at), "mm", { state: "given", reading: quantity })],
      ),
    ];
  });
  const differences = (["earlier", "later"] as const).flatMap((end): Row[] =>
    disagreement === null
      ? []
      : [
          quantityRow(
            { reading: "need at the cusps less at the gingival level", at: methods[0]?.[end].timepoint ?? "" },
            "mm",
            disagreement[end],
          ),
        ],
  );
  const bites = crossbite.flatMap(({ tooth, earlier, later }): Row[] => {
    const of: Row = {
      reading: "bite as entered",
      ...(isRight(tooth) ? { tooth_right: tooth } : { tooth_left: tooth }),
      state: "given",
    };
    return [
      { ...of, at: "earlier", value: earlier ?? "not entered" },
      { ...of, at: "later", value: later ?? "not entered" },
    ];
  });
  return [...ends, ...differences, ...bites];
}
