import { expect, test } from "vitest";
import { NO_DETAILS, type VisitDetails } from "#core/case/timepoint";
import { identitySection } from "#core/sheet/sections/identity";
import { inventedCase } from "./invented-case";
import { inventedReadings } from "./invented-readings";

/** The facts of the identity section, 'label value remark'. */
function factsOf(details: Partial<VisitDetails>, birthMonth: number | null): string[] {
  const document = inventedCase();
  const { blocks } = identitySection({
    document: {
      ...document,
      identity: { ...document.identity, recordNumber: "R 77", birthMonth },
      timepoints: document.timepoints.map((t, i) => (i === 0 ? { ...t, details: { ...NO_DETAILS, ...details } } : t)),
    },
    readings: inventedReadings(),
    pictures: null,
    issuedAt: "",
  });
  return blocks
    .flatMap((block) =>
      block.kind === "facts" ? block.facts.map(({ label, value, remark = "" }) => `${label} ${value} ${remark}`) : [],
    )
    .map((line) => line.replaceAll("\u00a0", " ").trim());
}

test("record number, and the age at each scan where the month of birth is known", () => {
  const facts = factsOf({}, 6);
  expect(facts).toContain("record R 77");
  expect(facts).toContain("born 2011-06");
  expect(facts).toContain("before 3 Mar 2026 (age 14 years 9 months)");
  expect(facts).toContain("after 28 May 2026 (86 days, age 14 years 11 months)");
  expect(factsOf({}, null)).toContain("before 3 Mar 2026");
});

test("what was seen at a visit in one line; nothing where nothing is stated", () => {
  const details: VisitDetails = {
    scanner: "make A",
    teeth: [
      { tooth: 25, state: "missing" },
      { tooth: 13, state: "deciduous" },
      { tooth: 15, state: "missing" },
      { tooth: 16, state: "present" },
    ],
    appliance: { kind: "removed", removedDaysAgo: 1, teeth: [16, 26] },
    crossbite: [{ tooth: 14, relation: "edge-to-edge" }],
    fixedApplianceActive: true,
    uprightingIntended: false,
  };
  expect(factsOf(details, null).at(-1)).toBe(
    "at the before scan appliance removed 1 day before the scan (16, 26); missing 15, 25; deciduous 13; fixed appliance active",
  );
  expect(factsOf({}, null).some((fact) => fact.startsWith("at the"))).toBe(false);
});
