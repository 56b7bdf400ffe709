const MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

/**
 * A date as it may be typed, '2026-03-03', '3 Mar 2026' or '3.3.2026' (day first), as year-month-day; null where it
 * is no day of the calendar.
 */
export function readDate(typed: string): string | null {
  const text = typed.trim().toLowerCase();
  const iso = /^(\d{4})-(\d{1,2})-(\d{1,2})$/.exec(text);
  if (iso !== null) return dayOf(Number(iso[1]), Number(iso[2]), Number(iso[3]));
  const dotted = /^(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})$/.exec(text);
  if (dotted !== null) return dayOf(Number(dotted[3]), Number(dotted[2]), Number(dotted[1]));
  const words = /^(\d{1,2})[\s\u00a0]+([a-z]{3})[a-z]*\.?[\s\u00a0]+(\d{4})$/.exec(text);
  if (words !== null) return dayOf(Number(words[3]), MONTHS.indexOf(words[2]!) + 1, Number(words[1]));
  return null;
}

function dayOf(year: number, month: number, day: number): string | null {
  const date = new Date(Date.UTC(year, month - 1, day));
  const same = date.getUTCFullYear() === year && date.getUTCMonth() === month - 1 && date.getUTCDate() === day;
  return same ? date.toISOString().slice(0, 10) : null;
}
