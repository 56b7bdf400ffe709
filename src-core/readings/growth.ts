import { ageInMonths, ageText } from "../case/age";
import type { CaseDocument } from "../case/case-document";
import { daysBetween } from "../case/iso-date";
import type { Timepoint } from "../case/timepoint";
import type { GrowthReading } from "./growth-document";
import { fixed } from "./numbers-in-words";
import type { Readings } from "./readings-document";

/** Growth is spoken of below this age at the earlier scan, years: a convention of the sheet. */
export const GROWING_BELOW = 18;
/** And where the scans lie at least so far apart, days: a convention of the sheet. */
export const LONG_FROM = 180;

const YEAR = 365.25;

/**
 * The ages at the scans, and for growing patients with a long interval a caution with published figures of untreated
 * people (Hesby 2006; Bishara 1997). They are means of other people: nothing is ever subtracted.
 * @returns null where no age can be told
 */
export function readGrowth(
  { birthYear, birthMonth }: Pick<CaseDocument["identity"], "birthYear" | "birthMonth">,
  scans: readonly [Pick<Timepoint, "name" | "date">, Pick<Timepoint, "name" | "date">],
  words: Readings["span"]["words"],
): GrowthReading | null {
  const ages = scans.flatMap(({ name, date }) =>
    birthYear === null || date === null ? [] : [{ timepoint: name, ...ageOn(date, birthYear, birthMonth) }],
  );
  const [earlier] = ages;
  if (earlier === undefined) return null;
  const [from, to] = [scans[0].date, scans[1].date];
  const days = from === null || to === null ? null : daysBetween(from, to);
  const growing = days !== null && days >= LONG_FROM && earlier.leastMonths < 12 * GROWING_BELOW;
  return { ages, days, caution: growing ? cautionOf(ages, days, words) : null };
}

/** The age in whole months; with a year of birth alone anything within twelve. */
function ageOn(date: string, birthYear: number, birthMonth: number | null) {
  const age = (month: number) => ageInMonths({ birthYear, birthMonth: month }, date) ?? 0;
  return { leastMonths: age(birthMonth ?? 12), mostMonths: age(birthMonth ?? 1) };
}

/** '9 years 11 months', or '9 to 10 years' where the month of birth is not recorded. */
export function ageWords({
  leastMonths,
  mostMonths,
}: Pick<GrowthReading["ages"][number], "leastMonths" | "mostMonths">) {
  if (mostMonths === leastMonths) return ageText(mostMonths);
  const [least, most] = [leastMonths, mostMonths].map((months) => Math.floor(months / 12));
  return least === most ? `${most} years` : `${least} to ${most} years`;
}

function cautionOf(ages: GrowthReading["ages"], days: number, words: Readings["span"]["words"]): string {
  const hidden = words === "retention" ? " In a growing patient growth can hide a loss." : "";
  return (
    `The patient was ${ages.map(ageWords).join(" and ")} old at the scans, which lie ${fixed(days / YEAR, 1)} years apart. ` +
    "Arches of children widen without treatment: between the upper first molars by 3.08 mm on average from 7.6 to 26.4 years of age (Hesby 2006, 36 untreated people); widths grow from 3 to 13 years and fall slightly once the permanent dentition is complete, more so at the canines (Bishara 1997). " +
    `None of it is subtracted.${hidden} Said here, by a convention of this sheet, of patients under ${GROWING_BELOW} years with scans half a year or more apart.`
  );
}
