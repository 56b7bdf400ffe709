import { z } from "zod";

/** The patient's age at the scans, and what growth between them means for the widths. */
export const GrowthReading = z.strictObject({
  ages: z.array(
    z.strictObject({
      timepoint: z.string(),
      /** Whole months, exact but for the day; a year of birth alone leaves a range. */
      leastMonths: z.number().int(),
      mostMonths: z.number().int(),
    }),
  ),
  /** Days between the two scans; null without both dates. */
  days: z.number().int().nullable(),
  /** What is to be known of growth; null where the patient is grown up or the scans lie close together. */
  caution: z.string().nullable(),
});
export type GrowthReading = z.infer<typeof GrowthReading>;
