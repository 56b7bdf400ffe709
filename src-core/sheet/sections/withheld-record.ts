import type { Readings } from "../../readings/readings-document";
import { retentionName } from "../../readings/retention";
import type { WithheldLine } from "./withheld";

/** What is withheld of the screw, of the time in retention and of the need to the lower arch, each with its reason. */
export function withheldOfRecord({
  screw,
  retention,
  need,
}: Pick<Readings, "screw" | "retention" | "need">): WithheldLine[] {
  const lines: WithheldLine[] = [];
  for (const [what, given] of [
    ["delivered by the screw", screw?.delivered],
    ["opening of the screw", screw?.opening],
    ["travel left in the screw", screw?.travelLeft],
  ] as const) {
    if (given?.state === "withheld") lines.push({ what, reason: given.reason.text });
  }
  for (const width of retention?.widths ?? []) {
    // A loss that lacks a point is told with its width.
    if (width.loss.state === "given" && width.percent.state === "withheld")
      lines.push({ what: `loss in per cent, ${retentionName(width)}`, reason: width.percent.reason.text });
  }
  const needs = (need?.methods ?? []).flatMap(({ earlier, later }) => [earlier, later]);
  for (const { timepoint, lower } of needs) {
    // An upper width that lacks a point is told with the widths; a scan that is missing is told once.
    if (lower.state === "given") continue;
    const what = `need to the lower arch, ${timepoint}`;
    if (!lines.some((line) => line.what === what && line.reason === lower.reason.text))
      lines.push({ what, reason: lower.reason.text });
  }
  return lines;
}
