import { describe, expect, test } from "vitest";
import { ageWords, readGrowth } from "#core/readings/growth";

const scans = (from: string | null, to: string | null) =>
  [
    { name: "before", date: from },
    { name: "after", date: to },
  ] as const;
const born = (birthYear: number | null, birthMonth: number | null = null) => ({ birthYear, birthMonth });

describe("age at the scans", () => {
  test("is known to a month with the month of birth, to a year without", () => {
    const ages = (month: number | null) =>
      readGrowth(born(2016, month), scans("2026-03-03", "2026-11-24"), "expansion")!.ages;
    // Born in April 2016: in March 2026 the tenth birthday is a month off.
    expect(ages(4).map(ageWords)).toEqual(["9\u00a0years 11\u00a0months", "10\u00a0years 7\u00a0months"]);
    expect(ages(null).map(ageWords)).toEqual(["9 to 10 years", "9 to 10 years"]);
    expect(ages(4)[0]).toMatchObject({ leastMonths: 119, mostMonths: 119 });
    expect(ages(null)[0]).toMatchObject({ leastMonths: 111, mostMonths: 122 });
  });

  test("is told of the scan that bears a date, and not without a year of birth", () => {
    expect(readGrowth(born(2016), scans(null, "2026-11-24"), "expansion")!.ages.map((age) => age.timepoint)).toEqual([
      "after",
    ]);
    expect(readGrowth(born(null), scans("2026-03-03", "2026-11-24"), "expansion")).toBeNull();
    expect(readGrowth(born(2016), scans(null, null), "expansion")).toBeNull();
  });
});

describe("the caution of growth", () => {
  const caution = (birthYear: number, to: string, words: "expansion" | "retention" = "expansion") =>
    readGrowth(born(birthYear, 4), scans("2026-03-03", to), words)!.caution;

  test("stands for patients under 18 whose scans lie half a year or more apart, and for no others", () => {
    expect(caution(2016, "2026-11-24")).not.toBeNull();
    expect(caution(2016, "2026-08-30")).not.toBeNull();
    expect(caution(2016, "2026-08-29")).toBeNull();
    expect(caution(2008, "2026-11-24")).not.toBeNull();
    expect(caution(2007, "2026-11-24")).toBeNull();
    expect(readGrowth(born(2016), scans("2026-03-03", null), "expansion")!.caution).toBeNull();
  });

  test("gives published figures with their ages, subtracts nothing, and names its limits as a convention", () => {
    const text = caution(2016, "2026-11-24")!;
    // Hesby 2006 (AJODO), 36 untreated people from 7.6 to 26.4 years: upper intermolar width +3.08 mm.
    expect(text).toContain("3.08 mm on average from 7.6 to 26.4 years");
    expect(text).toContain("lie 0.7 years apart");
    expect(text).toContain("None of it is subtracted");
    expect(text).toContain("by a convention of this sheet");
    expect(text).not.toContain("hide a loss");
    expect(caution(2016, "2026-11-24", "retention")).toContain("growth can hide a loss");
  });
});
