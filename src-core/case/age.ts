/**
 * The age at a date in whole months, from year and month of birth: exact but for the day of the month, which is not kept.
 * @param date year-month-day
 * @returns null where month, year or date are not known, or the date is before the birth
 */
export function ageInMonths(
  { birthYear, birthMonth }: { readonly birthYear: number | null; readonly birthMonth: number | null },
  date: string | null,
): number | null {
  if (birthYear === null || birthMonth === null || date === null) return null;
  const [year, month] = date.split("-").map(Number) as [number, number];
  const months = 12 * (year - birthYear) + month - birthMonth;
  return months < 0 ? null : months;
}

/** '14 years 9 months'. */
export function ageText(months: number): string {
  const of = (count: number, word: string) => `${count}\u00a0${word}${count === 1 ? "" : "s"}`;
  return `${of(Math.floor(months / 12), "year")} ${of(months % 12, "month")}`;
}
