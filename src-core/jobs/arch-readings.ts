import { type CountedReadings, readArch } from "../readings/arch-readings";
import { archScan } from "../readings/arch-scan";
import { eruptingReason } from "../readings/tooth-reasons";
import type { Assumptions } from "../readings/uncertainty";
import { pointSet, type SpanEnd } from "./span-end";

/**
 * Arch and palate of a span.
 * @param registered teeth whose crowns were registered
 * @param expansion whether the span may hold an expansion: only of such the rules for the perimeter predict anything
 */
export function archReadings(
  ends: readonly [SpanEnd, SpanEnd],
  registered: ReadonlySet<number>,
  expansion: boolean,
  assumptions: Assumptions,
): CountedReadings {
  const [first, second] = ends.map((end) =>
    archScan(pointSet(end), end.landmarks.frame, end.scan?.surface ?? null, assumptions, (tooth) =>
      eruptingReason(end.timepoint, tooth),
    ),
  );
  const read = readArch(first!, second!, registered, assumptions);
  return expansion ? read : { ...read, arch: { ...read.arch, predictedPerimeters: [] } };
}
