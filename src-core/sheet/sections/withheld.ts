import type { Readings } from "../../readings/readings-document";
import { pairWords } from "../format";
import { plain, quiet, type Run, type Section, strong } from "../sheet";
import { againstWords, levelWords } from "../words";
import type { SheetContext } from "./context";
import { withheldOfRecord } from "./withheld-record";

/** Every reading that is not given, each with its reason. */
export interface WithheldLine {
  /** What is withheld: '7–7, palatal gingival points, after'. */
  readonly what: string;
  readonly reason: string;
}

/** All withheld readings of a document, in the sheet's order. */
export function withheldLines(readings: Readings): WithheldLine[] {
  const lines: WithheldLine[] = [];
  const { from, to } = readings.span;
  for (const w of readings.widths) {
    const name = `${pairWords(w.pair)}, ${w.at}`;
    if (w.before.state === "withheld") lines.push({ what: `${name}, ${from}`, reason: w.before.reason.text });
    if (w.after.state === "withheld") lines.push({ what: `${name}, ${to}`, reason: w.after.reason.text });
    // A change that lacks the same point as one of its widths is told there.
    const told = [w.before, w.after].some((g) => g.state === "withheld");
    if (w.change.state === "withheld" && !told) lines.push({ what: `${name}, change`, reason: w.change.reason.text });
  }
  for (const p of readings.patterns) {
    if (p.state === "withheld") {
      lines.push({ what: "pattern", reason: p.reason.text });
      continue;
    }
    const level = levelWords(p.reading.level);
    const { frontToBack, hinge } = p.reading;
    if (frontToBack.state === "withheld")
      lines.push({ what: `front : back, ${level}`, reason: frontToBack.reason.text });
    if (hinge.state === "withheld") lines.push({ what: `hinge, ${level}`, reason: hinge.reason.text });
  }
  for (const r of readings.registrations) {
    if (r.state === "withheld") lines.push({ what: "laying the scans on each other", reason: r.reason.text });
  }
  const { halves } = readings;
  if (halves.state === "withheld") lines.push({ what: "two halves", reason: halves.reason.text });
  else if (halves.reading.axis.state === "withheld")
    lines.push({ what: "axis of the halves", reason: halves.reading.axis.reason.text });
  for (const { tooth, motion } of readings.crowns) {
    if (motion.state === "withheld") lines.push({ what: `crown of ${tooth}`, reason: motion.reason.text });
    else if (motion.reading.againstHalf.state === "withheld")
      lines.push({
        what: `crown of ${tooth} against its ${againstWords(readings)}`,
        reason: motion.reading.againstHalf.reason.text,
      });
  }
  for (const { pair, gingivalToCusp: ratio, pivotAboveGingival: pivot } of readings.tipping) {
    const name = `gingival : cusp at ${pairWords(pair)}`;
    // A ratio that lacks a change is told where the width is.
    if (ratio.state === "withheld" && ratio.reason.code === "denominator-within-error")
      lines.push({ what: name, reason: ratio.reason.text });
    if (ratio.state === "given" && pivot.state === "withheld")
      lines.push({ what: `pivot of ${pairWords(pair)}`, reason: pivot.reason.text });
  }
  lines.push(...withheldOfRecord(readings));
  lines.push(...archLines(readings));
  if (readings.distance.state === "withheld")
    lines.push({ what: "distance map", reason: readings.distance.reason.text });
  return lines;
}

/** Withheld readings of arch and palate; those with one reason in one line. */
function archLines({ arch: { arch, midline, pairs, palate, parts, teeth } }: Readings): WithheldLine[] {
  const all = [
    ...arch,
    ...midline,
    ...pairs,
    ...palate,
    ...parts.flatMap(({ right, left }) => [right, left]),
    ...teeth.flatMap(({ inclination, rotation, crownHeight }) => [inclination, rotation, crownHeight]),
  ];
  const byReason = new Map<string, string[]>();
  for (const reading of all) {
    if (reading?.change.state !== "withheld") continue;
    const { text } = reading.change.reason;
    byReason.set(text, [...(byReason.get(text) ?? []), reading.name]);
  }
  return [...byReason].map(([reason, names]) => ({ what: names.join("; "), reason }));
}

/** What is withheld, each with its reason, and how many of the readings asked for were made. */
export function withheldSection({ readings }: SheetContext): Section {
  const lines = withheldLines(readings);
  const note = `${readings.made} of ${readings.asked} readings asked for were made`;
  return {
    id: "withheld",
    blocks: [
      { kind: "heading", text: "Withheld readings", note },
      lines.length === 0
        ? { kind: "paragraph", runs: [quiet("None.")], size: "normal" }
        : {
            kind: "list",
            size: "normal",
            items: lines.map(({ what, reason }): Run[] => [strong(`${what}: `), plain(`${reason}.`)]),
          },
    ],
  };
}
