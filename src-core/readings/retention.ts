import type { CaseDocument } from "../case/case-document";
import { daysBetween } from "../case/iso-date";
import type { Timepoint } from "../case/timepoint";
import { lastTurningDay } from "../case/turning";
import { ratioInterval } from "../statistics/fieller";
import { WIDTHS, type WidthDefinition } from "./catalogue";
import { pairWords } from "./numbers-in-words";
import { type Given, type Interval, made, type Quantity, withheldBecause } from "./quantity";
import type { WidthReading } from "./readings-document";
import type { RetentionReading, RetentionWidth } from "./retention-document";
import { GAIN, LOSS, sharedErrors } from "./shared-scan";
import { type Assumptions, pointFigure, quantity } from "./uncertainty";
import { type PointSet, readWidth, shareAlongArch, stationsFrom } from "./width";

/** The two scans of a span in retention, their widths, and what is known of the scan before the expansion. */
export interface RetentionSpan {
  readonly end: Pick<Timepoint, "date">;
  readonly retention: Pick<Timepoint, "date" | "details">;
  readonly points: readonly [end: PointSet, retention: PointSet];
  readonly widths: readonly WidthReading[];
  /** null: the case has no scan from before the expansion, or none that is at hand. */
  readonly before: PointSet | null;
}

/**
 * Loss of width since the end of turning, W(end) − W(retention), in mm and in per cent of the gain W(end) − W(before).
 * The scan at the end of turning is in both, so their errors go together; the interval of the ratio is Fieller's. The
 * share is not calculable where the gain is not larger than its own U.
 */
export function readRetention(
  { identity: { expander }, plan }: Pick<CaseDocument, "identity" | "plan">,
  span: RetentionSpan,
  assumptions: Assumptions,
): RetentionReading {
  const { end, retention, before } = span;
  const lastDay = lastTurningDay(expander);
  const since = (date: string | null) =>
    date === null || retention.date === null ? null : daysBetween(date, retention.date);
  return {
    before: before?.timepoint ?? null,
    days: since(end.date),
    daysSinceTurning: since(lastDay),
    fixedApplianceActive: retention.details.fixedApplianceActive,
    uprightingIntended: retention.details.uprightingIntended,
    plannedOverCorrection: plan.overCorrection,
    widths: span.widths.map((width) => widthLoss(width, span, plan, assumptions)),
  };
}

function widthLoss(
  width: WidthReading,
  { points, before }: RetentionSpan,
  plan: CaseDocument["plan"],
  assumptions: Assumptions,
): RetentionWidth {
  const { pair, level, at, change, withinMeasurementError } = width;
  const definition = WIDTHS.find((one) => one.pair.name === pair && one.level === level)!;
  const loss: Given<Quantity> =
    change.state === "withheld" ? change : made({ ...change.reading, value: negated(change.reading.value) });
  const { gain, percent } = ofGain(definition, points, before, loss, assumptions);
  return {
    pair,
    level,
    at,
    gain,
    loss,
    withinMeasurementError,
    percent,
    overCorrection: beside(width, loss, plan),
  };
}

/** −value, and 0 for 0. */
const negated = (value: number): number => 0 - value;

function ofGain(
  definition: WidthDefinition,
  [end, retention]: RetentionSpan["points"],
  before: PointSet | null,
  loss: Given<Quantity>,
  assumptions: Assumptions,
): Pick<RetentionWidth, "gain" | "percent"> {
  if (before === null) {
    const reason = withheldBecause("needs-scan", "needs the scan from before the expansion");
    return { gain: reason, percent: reason };
  }
  const stations = stationsFrom(end);
  const read = readWidth(before, end, definition, stations, assumptions);
  if (read.change.state === "withheld") return { gain: read.change, percent: read.change };
  const station = stations.of(definition);
  const front = stations.front(definition.level);
  const share = shareAlongArch(
    definition.pair.name,
    definition.level,
    station !== null && front !== null ? station - front : null,
    stations,
  );
  // Without a loss to compare with, the gain stands as it would in a span of its own.
  if (loss.state === "withheld") return { gain: read.change, percent: loss };
  const errors = sharedErrors([before, end, retention], definition, assumptions, share);
  const { degreesOfFreedom } = pointFigure(assumptions, definition.level);
  const gain = quantity(read.change.reading.value, errors.components(GAIN), degreesOfFreedom);
  return { gain: made(gain), percent: percentOf(loss.reading, gain, errors.covariance(LOSS, GAIN)) };
}

/**
 * Loss in per cent of the gain with its Fieller interval.
 * @param covariance of loss and gain, mm²
 */
export function percentOf(loss: Quantity, gain: Quantity, covariance: number): Given<Interval> {
  const ends = ratioInterval(
    loss.value,
    loss.standardUncertainty * loss.standardUncertainty,
    gain.value,
    gain.standardUncertainty * gain.standardUncertainty,
    covariance,
    Math.max(loss.coverageFactor, gain.coverageFactor),
  );
  if (gain.value <= gain.expandedUncertainty || ends === null) {
    return withheldBecause("gain-within-error", "not calculable: the gain is not beyond its measurement error");
  }
  return made({ value: (100 * loss.value) / gain.value, low: 100 * ends.low, high: 100 * ends.high });
}

/** A loss beyond error beside the planned over-correction: at the planned width, else at the first molars. */
function beside(width: WidthReading, loss: Given<Quantity>, { target, overCorrection }: CaseDocument["plan"]) {
  if (overCorrection === null || overCorrection === 0 || loss.state === "withheld") return null;
  const planned = target === null ? width.pair === "6-6" : width.pair === target.pair && width.level === target.level;
  const { value, expandedUncertainty } = loss.reading;
  if (!planned || value <= expandedUncertainty) return null;
  if (value <= overCorrection) return "within";
  return value - overCorrection <= expandedUncertainty ? "about" : "beyond";
}

/** '6–6, mesiobuccal cusp tips'. */
export const retentionName = ({ pair, at }: Pick<RetentionWidth, "pair" | "at">): string => `${pairWords(pair)}, ${at}`;
