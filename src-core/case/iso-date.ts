import { z } from "zod";

/** A calendar date without a time, ISO 8601: 'year-month-day'. */
export const IsoDate = z.iso.date("a date reads year-month-day, and is a day of the calendar");
