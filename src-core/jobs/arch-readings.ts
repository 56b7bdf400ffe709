import { type CountedReadings, readArch } from "../readings/arch-readings";
import { archScan } from "../readings/arch-scan";
import { eruptingReason } from "../readings/tooth-reasons";
import type { Assumptions } from "../readings/uncertainty";
import { pointSet, type SpanEnd } from "./span-end";

/**
 * Arch and palate of a span.
 * @param registered teeth whose crowns were registered
 */
export function archReadings(
  ends: readonly [SpanEnd, SpanEnd],
  registered: ReadonlySet<number>,
  assumptions: Assumptions,
): CountedReadings {
  const [first, second] = ends.map((end) =>
    archScan(pointSet(end), end.landmarks.frame, end.scan?.surface ?? null, assumptions, (tooth) =>
      eruptingReason(end.timepoint, tooth),
    ),
  );
  return readArch(first!, second!, registered, assumptions);
}
