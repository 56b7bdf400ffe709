import type { RepeatReadings } from "../readings/repeat-readings";
import type { Row } from "./csv-row";

/** Rows of readings.csv for the examiner's repeated readings. */
export const repeatRows = ({ levels }: RepeatReadings): Row[] =>
  levels.flatMap(({ level, widths, changes, pointFigure }) =>
    [
      ...(
        [
          ["widths", widths],
          ["changes", changes],
        ] as const
      ).flatMap(([at, given]): Row[] => {
        if (given.state === "withheld")
          return [{ reading: "repeat readings", at, state: "withheld", reason: given.reason.text }];
        const { n, error, bias, errorWithoutBias, lower, upper, repeatability, smallestDetectableChange } =
          given.reading;
        const row = (reading: string, value: number): Row => ({ reading, at, state: "given", value, unit: "mm" });
        const around = (reading: string, of: typeof bias): Row => ({
          ...row(reading, of.value),
          low_95: of.low,
          high_95: of.high,
        });
        return [
          { ...row("pairs of repeated readings", n), unit: "pairs" },
          row("Dahlberg error", error),
          row("Dahlberg error without bias", errorWithoutBias),
          around("bias of repeated readings", bias),
          around("lower limit of agreement", lower),
          around("upper limit of agreement", upper),
          row("repeatability coefficient", repeatability),
          row("smallest detectable change", smallestDetectableChange),
        ];
      }),
      pointFigure.state === "given"
        ? { reading: "point figure used", state: "given", value: pointFigure.reading.pointWidth, unit: "mm" }
        : { reading: "point figure of the examiner", state: "withheld", reason: pointFigure.reason.text },
    ].map((row): Row => ({ ...row, level })),
  );
