import { z } from "zod";

/** A calendar date without a time, ISO 8601: 'year-month-day'. */
export const IsoDate = z.iso.date("a date reads year-month-day, and is a day of the calendar");

/** Whole days from one date to another, both 'year-month-day' of the Gregorian calendar. */
export function daysBetween(from: string, to: string): number {
  return dayNumber(to) - dayNumber(from);
}

/** Days since 1 March of the year 0 (Fliegel & Van Flandern 1968, in the form that counts years from March). */
function dayNumber(iso: string): number {
  const [year, month, day] = iso.split("-").map(Number) as [number, number, number];
  const marchYear = month > 2 ? year : year - 1;
  const marchMonth = (month + 9) % 12;
  const leaps = Math.floor(marchYear / 4) - Math.floor(marchYear / 100) + Math.floor(marchYear / 400);
  return marchYear * 365 + leaps + Math.floor((marchMonth * 306 + 5) / 10) + day - 1;
}
