import type { Readings } from "../../readings/readings-document";
import { retentionName } from "../../readings/retention";
import type { WithheldLine } from "./withheld";

/** What is withheld of the screw and of the time in retention, each with its reason. */
export function withheldOfRecord({ screw, retention }: Pick<Readings, "screw" | "retention">): WithheldLine[] {
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
  return lines;
}
