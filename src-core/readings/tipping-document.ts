import { z } from "zod";
import { given, Interval, Quantity } from "./quantity";

/** What two levels of one pair of teeth tell of tipping. Lengths mm, angles degrees. */
export const TippingReading = z.strictObject({
  /** '6-6' */
  pair: z.string(),
  /** Change at the palatal gingival points over change at the cusp tips; Fieller interval. Not a share of bodily movement. */
  gingivalToCusp: given(Interval),
  /** Where the crowns seem to have turned in the frontal view, mm above the gingival points. */
  pivotAboveGingival: given(Interval),
  /** Height of the cusp tips below the gingival points on the earlier scan, both sides' mean; null without arch frame. */
  height: z.number().nullable(),
  /** Tipping to the cheek from the points, of teeth whose crown has no registration that would give it better. */
  anglesFromPoints: z.array(z.strictObject({ tooth: z.number().int(), angle: given(Quantity) })),
});
export type TippingReading = z.infer<typeof TippingReading>;
