import { describe, expect, test } from "vitest";
import { buildSheet } from "#core/sheet/build-sheet";
import { layOut } from "#core/sheet/layout/pages";
import { type Sheet, textOf } from "#core/sheet/sheet";
import { inventedCase } from "./invented-case";
import { inventedReadings } from "./invented-readings";

const ISSUED = "2026-11-25T10:42:00Z";

const sheetOf = (changes: Parameters<typeof inventedReadings>[0] = {}): Sheet =>
  buildSheet({ document: inventedCase(), readings: inventedReadings(changes), pictures: null, issuedAt: ISSUED });

const spaced = (text: string) => text.replaceAll("\u00a0", " ");

/** A stand-in for the fonts: every letter half its size wide. */
const measure = (text: string, _font: string, size: number) => text.length * size * 0.5;

const pageTexts = (sheet: Sheet): string[] =>
  layOut(sheet, measure).map((page) =>
    page.flatMap((placed) => placed.primitives.flatMap((p) => (p.kind === "text" ? [p.text] : []))).join(" "),
  );

describe("the sheet says what was measured", () => {
  const text = spaced(textOf(sheetOf()));

  test("the headline in one sentence, its reason under it", () => {
    expect(text).toContain(
      "Wider by 6.1 mm at the canines and 2.8 mm at the first molars: the arch opened fan-shaped, wider in front.",
    );
    expect(text).toContain("more than measurement error explains");
  });

  test("who and when without a name: case, year of birth, dates, days between, examiner, expander", () => {
    expect(text).toContain("case K-0412");
    expect(text).toContain("born 2011");
    expect(text).toContain("after 28 May 2026 (86 days)");
    expect(text).toContain("turns 24 of 0.25 mm");
    expect(text).toContain("delivered by the screw 6.0 mm");
    expect(text).toContain("opened before fitting 5 turns");
  });

  test("pairs with an en dash, changes with their sign, each with ± U", () => {
    expect(text).toContain("3–3");
    expect(text).not.toContain("3-3");
    expect(text).toContain("+6.1");
    expect(text).toMatch(/\+6\.1\n± 0\.3/);
  });

  test("the pattern by level with its intervals, and the hinge never as a centre in the bone", () => {
    expect(text).toContain("−1.7 mm per 10 mm");
    expect(text).toContain("−2.0 to −1.4");
    expect(text).toContain("9.6°");
    expect(text).toContain("(3–3 : 6–6, Fieller)");
    expect(text).toContain("not a centre in the bone");
  });

  test("scans by timepoint and the first twelve digits of their hash, and the clock of this PC", () => {
    expect(text).toContain("3f9a 04c1 77d0");
    expect(text).toContain("25 Nov 2026, 10:42:00 UTC");
    expect(text).toContain("clock of this PC");
  });

  test("what it is for, and what a typed signature is worth", () => {
    expect(text).toContain("measures and documents; does not diagnose");
    expect(text).toContain("Not a certified medical device");
    expect(text).toContain("typed signature, not a qualified electronic signature");
  });

  test("assumed figures are called an assumption", () => {
    expect(text).toContain("scanner across the arch, at the first molars\n0.12 mm");
    expect(text).toContain("an assumption unless the practice’s own were entered");
  });
});

describe("what is not certain is on the sheet", () => {
  test("every caution and every warning, word for word", () => {
    const readings = inventedReadings();
    const text = textOf(sheetOf());
    for (const caution of readings.cautions) expect(text).toContain(caution);
    for (const warning of readings.warnings) expect(text).toContain(warning.text);
  });

  test("a withheld width stands in its row and in the list, with its reason, and has no number", () => {
    const text = textOf(sheetOf());
    const reason = "needs the palatal gingival point of 27 on the after scan";
    expect(text.split(reason).length - 1).toBe(2);
    expect(text).toContain("8 of 9 readings asked for were made");
  });

  test("withheld pattern, ratio, hinge, registration, halves and distance map each give their reason", () => {
    const withheld = (code: "one-pair-only" | "registration-failed" | "denominator-within-error", text: string) => ({
      state: "withheld" as const,
      reason: { code, text, needs: [] },
    });
    const readings = inventedReadings();
    const cusp = readings.patterns[0]!;
    if (cusp.state !== "given") throw new Error("the invented pattern is given");
    const text = textOf(
      sheetOf({
        patterns: [
          {
            state: "given",
            reading: {
              ...cusp.reading,
              frontToBack: withheld("denominator-within-error", "reason of the ratio"),
              hinge: withheld("denominator-within-error", "reason of the hinge"),
            },
          },
          withheld("one-pair-only", "reason of the pattern"),
        ],
        registrations: [withheld("registration-failed", "reason of the fit")],
        halves: withheld("registration-failed", "reason of the halves"),
        distance: withheld("registration-failed", "reason of the map"),
      }),
    );
    for (const what of ["ratio", "hinge", "pattern", "fit", "halves", "map"]) {
      expect(text.split(`reason of the ${what}`).length - 1).toBe(2);
    }
  });

  test("the halves have their own openings, angles and words, and no axis where it is withheld", () => {
    const text = textOf(sheetOf());
    expect(text).toContain("Relative motion of the two palatal surfaces; neither suture nor bone.");
    expect(text).toContain("opening at the canines\n+4.3\u00a0mm\n±\u00a00.2");
    expect(text).toContain("opening angle wider in front\n+6.9°");
    expect(text).toContain("36\u00a0mm behind the canines");
    expect(text).toContain("It does not show which half moved in the head.");
    const { halves } = inventedReadings();
    if (halves.state !== "given") throw new Error("the invented halves are given");
    const axis = {
      state: "withheld" as const,
      reason: { code: "angle-within-error" as const, text: "reason of the axis", needs: [] },
    };
    const without = textOf(sheetOf({ halves: { state: "given", reading: { ...halves.reading, axis } } }));
    expect(without).not.toContain("36\u00a0mm behind the canines");
    expect(without.split("reason of the axis").length - 1).toBe(2);
  });

  test("crowns against their half stand tooth by tooth; one that changed gives its reason instead of numbers", () => {
    const text = textOf(sheetOf());
    expect(text).toContain("16\n+3.1 ±\u00a00.4\n");
    expect(text).toContain("26\n+0.2 ±\u00a00.4 *\n");
    expect(text).toContain("27\nreason of the crown\n");
    expect(text).toContain("crown of 27: reason of the crown.");
    expect(text).toContain("Angle between the molars, positive with the crowns to the cheek: 6–6 +6.2°");
  });

  test("gingival level against cusps: ratio, pivot and angle with their intervals, or the reason; never a share", () => {
    const text = textOf(sheetOf());
    expect(text).toContain("3–3\n0.80\n0.72 to 0.88\n24\n15 to 33\n13 +3.4°");
    expect(text).toContain("6–6\nreason of the gingival ratio\n");
    expect(text).toContain("gingival : cusp at 6–6: reason of the gingival ratio.");
    expect(text).toContain("Not a share of bodily movement");
    expect(text).toContain("tipping from the points");
  });

  test("a pivot that may lie anywhere far away says so, and without angles from points there is no column for them", () => {
    const [first] = inventedReadings().tipping;
    const pivot = { state: "given" as const, reading: { value: 30, low: 14, high: 206 } };
    const text = textOf(sheetOf({ tipping: [{ ...first!, pivotAboveGingival: pivot, anglesFromPoints: [] }] }));
    expect(text).toContain("30\n14 to over 100\n");
    expect(text).not.toContain("tipping from the points");
  });

  test("a change within its own uncertainty is called so in words", () => {
    const readings = inventedReadings();
    const widths = readings.widths.map((w, i) => (i === 4 ? { ...w, withinMeasurementError: true } : w));
    expect(textOf(sheetOf())).not.toContain("7–7, mesiobuccal cusp tips: within measurement error");
    const count = (text: string) => text.split("within measurement error").length - 1;
    expect(count(textOf(sheetOf({ widths })))).toBe(count(textOf(sheetOf())) + 1);
  });

  test("'invented sample, no patient' is on every page of an invented sheet and on no other", () => {
    const invented = pageTexts(sheetOf());
    expect(invented.length).toBeGreaterThan(1);
    for (const page of invented) expect(page).toContain("invented sample, no patient");
    for (const page of pageTexts(sheetOf({ invented: false }))) expect(page).not.toContain("invented sample");
  });

  test("every page has its number and that of all", () => {
    const pages = pageTexts(sheetOf());
    pages.forEach((page, i) => {
      expect(page).toContain(`K-0412 · page ${i + 1} of ${pages.length}`);
    });
  });
});

describe("what must not be on the sheet", () => {
  test("no file name, on no page and in no description", () => {
    const names = inventedCase().timepoints.map((t) => t.scan!.fileName);
    expect(names).toEqual(["Invented Person upper.stl", "Invented Person upper 2.ply"]);
    const text = textOf(sheetOf());
    for (const name of names) expect(text).not.toContain(name);
    expect(text).not.toContain("Invented Person");
  });

  test("in retention no verdict speaks of a fan", () => {
    const text = textOf(
      sheetOf({
        span: { from: "after", to: "in retention", words: "retention" },
        headline: [{ text: "Lost 0.5 mm since the end of turning.", strong: false }],
        because: "",
      }),
    );
    const verdicts = text.split("\n").filter((line) => line.startsWith("fan-shaped"));
    expect(verdicts).toEqual([]);
  });
});

describe("pages", () => {
  test("everything stands within the page's margins, however much is to be told", () => {
    const warnings = Array.from({ length: 80 }, (_, i) => ({
      code: "x",
      timepoint: "after",
      text: `Invented warning ${i} that says something about a point and what is to be done about it, at length.`,
    }));
    const readings = inventedReadings();
    const widths = Array.from({ length: 40 }, (_, i) => readings.widths[i % readings.widths.length]!);
    const sheet = sheetOf({ warnings, widths });
    const pages = layOut(sheet, measure);
    expect(pages.length).toBeGreaterThan(4);
    for (const page of pages) {
      for (const { origin, primitives } of page) {
        for (const p of primitives) {
          if (p.kind !== "text") continue;
          expect(origin[1] + p.at[1]).toBeLessThan(842 - 30);
          expect(origin[1] + p.at[1]).toBeGreaterThan(40);
        }
      }
    }
    const all = pageTexts(sheet).join(" ");
    for (const { text } of warnings) expect(all.replaceAll(/\s+/g, " ")).toContain(text.slice(0, 20));
  });

  test("a table that runs on to another page repeats its head there, once", () => {
    const { widths } = inventedReadings();
    const many = Array.from({ length: 120 }, (_, i) => widths[i % widths.length]!);
    const running = pageTexts(sheetOf({ widths: many })).filter((text) => text.includes("50.6"));
    expect(running.length).toBeGreaterThan(2);
    for (const text of running) expect(text.match(/pair at before after change/g) ?? []).toHaveLength(1);
  });

  test("a word wider than its column is cut, not lost and not set beyond it", () => {
    const long = "x".repeat(400);
    const pages = pageTexts(sheetOf({ warnings: [{ code: "x", timepoint: null, text: long }] }));
    expect(pages.join("").replaceAll(" ", "")).toContain("x".repeat(100));
    expect((pages.join("").match(/x{3,}/g) ?? []).join("")).toHaveLength(400);
  });
});
