import { z } from "zod";
import { given, Interval, Quantity, WidthLevel } from "./quantity";

/** What of the widening was lost again since the end of turning. Lengths mm. */

const RetentionWidth = z.strictObject({
  pair: z.string(),
  level: WidthLevel,
  /** The landmark's place in the trade's words: 'mesiobuccal cusp tips'. */
  at: z.string(),
  /** W(end of turning) − W(before). */
  gain: given(Quantity),
  /** W(end of turning) − W(retention): positive is a loss, negative a gain. */
  loss: given(Quantity),
  /** |loss| ≤ U of the loss; null where it is withheld. */
  withinMeasurementError: z.boolean().nullable(),
  /** Loss in per cent of the gain; Fieller interval with the covariance of the scan that both share. */
  percent: given(Interval),
  /** A loss beyond error, seen beside the over-correction planned for this width; 'about': not told apart from it. */
  overCorrection: z.enum(["within", "about", "beyond"]).nullable(),
});
export type RetentionWidth = z.infer<typeof RetentionWidth>;

export const RetentionReading = z.strictObject({
  /** The timepoint before the expansion; null where the case has no scan of it. */
  before: z.string().nullable(),
  /** Days from the scan at the end of turning to the scan in retention; null without both dates. */
  days: z.number().int().nullable(),
  /** Days from the last recorded day of turning; null where it bears no date. */
  daysSinceTurning: z.number().int().nullable(),
  /** As entered for the scan in retention. */
  fixedApplianceActive: z.boolean(),
  uprightingIntended: z.boolean(),
  /** mm, as planned; null where none is. */
  plannedOverCorrection: z.number().nullable(),
  widths: z.array(RetentionWidth),
});
export type RetentionReading = z.infer<typeof RetentionReading>;
