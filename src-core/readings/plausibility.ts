import { fixed, pairWords } from "./numbers-in-words";
import type { Warning, WidthReading } from "./readings-document";

/** Widths between first molars outside this are questioned, mm: the same mesh in another unit falls outside. */
const MOLAR_WIDTHS: readonly [number, number] = [25, 75];

/**
 * What looks wrong in the widths themselves: a unit that is not what it was taken for, or before and after exchanged.
 * @param names of the two timepoints
 */
export function implausibleWidths(
  widths: readonly WidthReading[],
  names: readonly [string, string],
  expansion: boolean,
): Warning[] {
  const warnings: Warning[] = [];
  for (const [timepoint, side] of [
    [names[0], "before"],
    [names[1], "after"],
  ] as const) {
    for (const width of widths) {
      const reading = width[side];
      if (width.pair !== "6-6" || reading.state !== "given") continue;
      const value = reading.reading.value;
      if (value >= MOLAR_WIDTHS[0] && value <= MOLAR_WIDTHS[1]) continue;
      warnings.push({
        code: "implausible-width",
        timepoint,
        text: `On the ${timepoint} scan the first molars are ${fixed(value, 1)} mm apart (${pairWords("6-6")}, ${width.at}), which no arch is: check the unit of this scan and the tooth numbers of the landmarks.`,
      });
      break;
    }
  }
  const beyondError = widths.flatMap((width) =>
    width.change.state === "given" && width.withinMeasurementError === false ? [width.change.reading.value] : [],
  );
  if (expansion && beyondError.length >= 2 && beyondError.every((change) => change < 0)) {
    warnings.push({
      code: "all-narrower",
      timepoint: null,
      text: `Every width that changed became smaller: have ${names[0]} and ${names[1]} been exchanged?`,
    });
  }
  return warnings;
}
