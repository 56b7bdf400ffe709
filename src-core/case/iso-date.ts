import { z } from "zod";

/** A calendar date without a time, ISO 8601: 'year-month-day'. */
export const IsoDate = z.string().regex(/^\d{4}-\d{2}-\d{2}$/, "a date reads year-month-day");
