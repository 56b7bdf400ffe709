import { z } from "zod";
import { Crossbite } from "../case/timepoint";
import { given, Quantity } from "./quantity";

/** How much wider the upper arch would have to be to suit the lower one, by named points. Lengths mm. */

/** One method at one time: both scans of the same date. */
const NeedEnd = z.strictObject({
  timepoint: z.string(),
  upper: given(Quantity),
  lower: given(Quantity),
  /** Lower less upper: positive where the upper arch is too narrow by this method. */
  need: given(Quantity),
  /** |need| ≤ U of the need; null where it is withheld. */
  withinMeasurementError: z.boolean().nullable(),
});
export type NeedEnd = z.infer<typeof NeedEnd>;

const NeedMethod = z.strictObject({
  method: z.enum(["palatal-cusps-to-fossae", "palatal-to-lingual-gingival", "buccal-cusps-to-buccal-grooves"]),
  level: z.enum(["cusp", "gingival", "buccal"]),
  /** The pairs of points in the trade's words. */
  upperPoints: z.string(),
  lowerPoints: z.string(),
  /** Where the method comes from, and that no norm is used. */
  basis: z.string(),
  earlier: NeedEnd,
  later: NeedEnd,
  /** Need at the earlier scan + over-correction; null without over-correction, in retention, or without a need. */
  wanted: Quantity.nullable(),
  /** What of the wanted widening would be left after the loss entered. */
  wantedAfterLoss: Quantity.nullable(),
  /** Need at the later scan once the loss entered has gone from the measured widening. */
  needAfterLoss: Quantity.nullable(),
});
export type NeedMethod = z.infer<typeof NeedMethod>;

export const NeedReading = z.strictObject({
  methods: z.array(NeedMethod),
  /** Need at the cusps less need at the gingiva: possible dental compensation, no indication. */
  disagreement: z.strictObject({ earlier: given(Quantity), later: given(Quantity) }).nullable(),
  /** As entered: mm and per cent. */
  overCorrection: z.number().nullable(),
  expectedLossPercent: z.number().nullable(),
  /** How each tooth bites as the clinician saw it, where it was entered for either date. */
  crossbite: z.array(
    z.strictObject({ tooth: z.number().int(), earlier: Crossbite.nullable(), later: Crossbite.nullable() }),
  ),
});
export type NeedReading = z.infer<typeof NeedReading>;
