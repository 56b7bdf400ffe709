import { fixed, pairWords, signed } from "#core/readings/numbers-in-words";
import type { Given, Quantity, Readings } from "#core/readings/readings-document";
import { againstWords, halvesWords, levelWords, verdictWords } from "#core/sheet/words";

const number = (reading: Given<Quantity>): string =>
  reading.state === "given" ? fixed(reading.reading.value, 1) : "–";

/** The readings as a page of text for the terminal. */
export function summary(readings: Readings): string {
  const lines: string[] = [];
  if (readings.invented) lines.push("INVENTED SAMPLE, NO PATIENT", "");
  lines.push(readings.headline.map((part) => part.text).join(""));
  if (readings.because !== "") lines.push(readings.because);
  lines.push(
    "",
    `${"pair".padEnd(9)}${"at".padEnd(26)}${"before".padStart(8)}${"after".padStart(8)}${"change, mm".padStart(16)}`,
  );
  for (const width of readings.widths) {
    const change =
      width.change.state === "given"
        ? `${signed(width.change.reading.value, 1)} ± ${fixed(width.change.reading.expandedUncertainty, 1)}${width.withinMeasurementError === true ? " *" : "  "}`
        : "withheld  ";
    lines.push(
      `${pairWords(width.pair).padEnd(9)}${width.at.padEnd(26)}${number(width.before).padStart(8)}${number(width.after).padStart(8)}${change.padStart(18)}`,
    );
  }
  if (readings.widths.some((width) => width.withinMeasurementError === true)) lines.push("* within measurement error");
  lines.push("");
  for (const pattern of readings.patterns) {
    if (pattern.state === "withheld") continue;
    const { slopePer10mm: slope, openingAngleOfTeeth: angle, verdict } = pattern.reading;
    lines.push(
      `${levelWords(pattern.reading.level).padEnd(20)}${verdictWords(verdict, readings.span.words)}; ${signed(slope.value, 2)} mm per 10 mm towards the back (${fixed(slope.low, 2)} to ${fixed(slope.high, 2)}), opening angle of the teeth ${signed(angle.value, 1)}° (${fixed(angle.low, 1)} to ${fixed(angle.high, 1)})`,
    );
  }
  if (readings.halves.state === "given") {
    const { of, verdict, atCanines, atMolars, openingAngle, places } = readings.halves.reading;
    const value = (q: Quantity) => `${signed(q.value, 1)} ± ${fixed(q.expandedUncertainty, 1)}`;
    lines.push(
      `${halvesWords(of).padEnd(20)}${verdictWords(verdict, readings.span.words)}; opening ${value(atCanines)} mm at ${places.canines}, ${value(atMolars)} mm at ${places.molars}, opening angle ${value(openingAngle)}°`,
    );
  }
  for (const { tooth, motion } of readings.crowns) {
    if (motion.state === "withheld" || motion.reading.againstHalf.state === "withheld") continue;
    const { buccalTipping, buccalShift } = motion.reading.againstHalf.reading;
    lines.push(
      `${`crown of ${tooth}`.padEnd(20)}against its ${againstWords(readings)}: tipping to buccal ${signed(buccalTipping.value, 1)} ± ${fixed(buccalTipping.expandedUncertainty, 1)}°, to buccal ${signed(buccalShift.value, 1)} ± ${fixed(buccalShift.expandedUncertainty, 1)} mm`,
    );
  }
  for (const fit of readings.registrations)
    if (fit.state === "given") lines.push(`${fit.reading.label}: ${fit.reading.sentence}`);
  for (const warning of readings.warnings) lines.push(`! ${warning.text}`);
  const withheld = [
    ...readings.widths.flatMap((w) =>
      w.change.state === "withheld" ? [`${pairWords(w.pair)} ${w.at}: ${w.change.reason.text}`] : [],
    ),
    ...readings.patterns.flatMap((p) => (p.state === "withheld" ? [`pattern: ${p.reason.text}`] : [])),
    ...readings.registrations.flatMap((r) => (r.state === "withheld" ? [`registration: ${r.reason.text}`] : [])),
    ...(readings.halves.state === "withheld" ? [`two halves: ${readings.halves.reason.text}`] : []),
    ...readings.crowns.flatMap(({ tooth, motion }) =>
      motion.state === "withheld" ? [`crown of ${tooth}: ${motion.reason.text}`] : [],
    ),
    ...(readings.distance.state === "withheld" ? [`distance map: ${readings.distance.reason.text}`] : []),
  ];
  if (withheld.length > 0) lines.push("", "Withheld:", ...withheld.map((text) => `  ${text}`));
  lines.push("", ...readings.cautions);
  return `${lines.join("\n")}\n`;
}
