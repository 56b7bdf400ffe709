import { expect, test } from "vitest";
import { grouped } from "#core/grouped";
import {
  dateText,
  daysBetween,
  fixed,
  listed,
  momentText,
  pairWords,
  percent,
  plusMinus,
  shortHash,
  signed,
} from "#core/sheet/format";

test("a minus is the typographer's minus, and zero has none", () => {
  expect(fixed(-1.23, 1)).toBe("\u22121.2");
  expect(fixed(-0.04, 1)).toBe("0.0");
  expect(fixed(-0.0, 1)).toBe("0.0");
  expect(fixed(2, 0)).toBe("2");
});

test("a change always carries its sign", () => {
  expect(signed(6.08, 1)).toBe("+6.1");
  expect(signed(-0.25, 1)).toBe("\u22120.3");
  expect(signed(-0.01, 1)).toBe("0.0");
});

test("an uncertainty is never printed as zero unless it is zero", () => {
  expect(plusMinus(0.38)).toBe("±\u00a00.4");
  expect(plusMinus(0.03)).toBe("±\u00a00.1");
  expect(plusMinus(0.003, 2)).toBe("±\u00a00.01");
  expect(plusMinus(0)).toBe("±\u00a00.0");
});

test("pairs are written with an en dash", () => {
  expect(pairWords("3-3")).toBe("3–3");
  expect(pairWords("III-III")).toBe("III–III");
});

test("dates read day month year, and days are counted by the calendar", () => {
  expect(dateText("2026-03-03").replaceAll("\u00a0", " ")).toBe("3 Mar 2026");
  expect(daysBetween("2026-03-03", "2026-05-28")).toBe(86);
  expect(daysBetween("2024-02-28", "2024-03-01")).toBe(2);
  expect(daysBetween("2023-02-28", "2023-03-01")).toBe(1);
  expect(daysBetween("1999-12-31", "2000-01-01")).toBe(1);
  expect(daysBetween("1900-02-28", "1900-03-01")).toBe(1);
});

test("the time of issue names its zone", () => {
  expect(momentText("2026-11-25T10:42:00Z").replaceAll("\u00a0", " ")).toBe("25 Nov 2026, 10:42:00 UTC");
  expect(momentText("2026-11-25T10:42:00-03:00").replaceAll("\u00a0", " ")).toBe("25 Nov 2026, 10:42:00 UTC−03:00");
});

test("large numbers are grouped, shares are percent, hashes can be read aloud", () => {
  expect(grouped(128400)).toBe("128,400");
  expect(grouped(999)).toBe("999");
  expect(percent(0.934)).toBe("93\u00a0%");
  expect(shortHash("3f9a04c177d0e1b2a4")).toBe("3f9a\u00a004c1\u00a077d0");
  expect(listed(["a", "b", "c"])).toBe("a, b and c");
});
