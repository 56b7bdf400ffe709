import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import { parseMarks } from "#core/arch/marks";
import { IDENTITY } from "#core/geometry/rigid-transform";
import { Readings } from "#core/readings/readings-document";
import { readingsCsv } from "#core/sheet/csv";
import { readingsJson, schemaTexts } from "#core/sheet/json";
import { makeRecord, type RecordFile } from "#core/sheet/record";
import { inventedCase } from "./invented-case";
import { inventedReadings } from "./invented-readings";
import { archLikeSurface } from "./invented-surfaces";

const root = resolve(import.meta.dirname, "../../..");
const font = (path: string) =>
  new Uint8Array(readFileSync(join(root, "node_modules/@expo-google-fonts", `${path}.ttf`)));
const fonts = {
  sans: font("inter/400Regular/Inter_400Regular"),
  sansStrong: font("inter/600SemiBold/Inter_600SemiBold"),
  serif: font("source-serif-4/400Regular/SourceSerif4_400Regular"),
  serifStrong: font("source-serif-4/600SemiBold/SourceSerif4_600SemiBold"),
};

function record(): Promise<RecordFile[]> {
  const later = archLikeSurface(3, 1.2);
  return makeRecord({
    document: inventedCase(),
    readings: inventedReadings(),
    earlier: archLikeSurface(0, 1.2),
    later,
    overlay: IDENTITY,
    frame: IDENTITY,
    distances: Float64Array.from({ length: later.positions.length / 3 }, (_, i) => (i % 40) / 20 - 1),
    issuedAt: "2026-11-25T10:42:00Z",
    fonts,
  });
}

const latin = (bytes: Uint8Array) => Buffer.from(bytes).toString("latin1");

describe("the record's folder", () => {
  let files: RecordFile[];
  const file = (name: string) => files.find((f) => f.name === name)!.bytes;
  beforeAll(async () => {
    files = await record();
  });

  test("holds sheet, readings, landmarks and pictures", () => {
    expect(files.map((f) => f.name)).toEqual([
      "sheet.pdf",
      "readings.json",
      "readings.csv",
      "marks.json",
      "picture-from-below.png",
      "picture-from-the-front.png",
      "picture-distance.png",
    ]);
  });

  test("is the same to the byte when it is made again", async () => {
    const again = await record();
    for (const [i, { name, bytes }] of again.entries()) {
      expect(Buffer.compare(bytes, files[i]!.bytes), name).toBe(0);
    }
  });

  test("the PDF is tagged, says its language, embeds its fonts and names no patient in its properties", () => {
    const pdf = latin(file("sheet.pdf"));
    expect(pdf.startsWith("%PDF-1.7")).toBe(true);
    expect(pdf).toContain("/Marked true");
    expect(pdf).toContain("/Lang (en)");
    expect(pdf.match(/\/FontFile2/g)?.length).toBe(4);
    expect(pdf).not.toContain("Helvetica");
    expect(pdf).toContain("(Measurement of jaw expansion)");
    expect(pdf).toContain("D:20261125104200Z");
    expect(pdf).not.toContain("K-0412");
    expect(pdf).not.toContain("Invented Person");
  });

  test("each picture in the PDF has words for those who cannot see it", () => {
    const pdf = latin(file("sheet.pdf"));
    const alt = pdf.match(/\/Alt \(/g) ?? [];
    // Three pictures, the profile, scale and histogram of the distance map, eight bars of changes.
    expect(alt).toHaveLength(14);
    expect(pdf.match(/\/Subtype \/Image/g)).toHaveLength(3);
  });

  test.skipIf(!existsSync("/usr/bin/pdftotext"))("the words can be found and copied from each page", () => {
    const folder = mkdtempSync(join(tmpdir(), "raphe-sheet-"));
    try {
      writeFileSync(join(folder, "sheet.pdf"), file("sheet.pdf"));
      const text = execFileSync("/usr/bin/pdftotext", ["-layout", join(folder, "sheet.pdf"), "-"]).toString();
      const pages = text.split("\f").slice(0, -1);
      for (const page of pages) expect(page).toContain("invented sample, no patient");
      const flat = text.replaceAll(/[\s\u00a0]+/g, " ");
      expect(flat).toContain("the arch opened fan-shaped, wider in front.");
      expect(flat).toContain("needs the palatal gingival point of 27 on the after scan");
      expect(flat).toContain("−1.7 mm per 10 mm");
    } finally {
      rmSync(folder, { recursive: true });
    }
  });

  test("no file of it carries a scan's file name", () => {
    for (const { name, bytes } of files) expect(latin(bytes), name).not.toContain("Invented Person");
  });

  test("marks.json gives back the landmarks as they were placed", () => {
    const marks = parseMarks(new TextDecoder().decode(file("marks.json")), "marks.json");
    expect(marks.scans.before?.landmarks).toEqual(inventedCase().timepoints[0]!.landmarks);
    expect(Object.keys(marks.scans)).toEqual(["before", "after"]);
  });

  test("without scans or frame there are still sheet and readings, only no pictures", async () => {
    const bare = await makeRecord({
      document: inventedCase(),
      readings: inventedReadings({ frames: [] }),
      earlier: null,
      later: null,
      overlay: null,
      frame: null,
      distances: null,
      issuedAt: "2026-11-25T10:42:00Z",
      fonts,
    });
    expect(bare.map((f) => f.name)).toEqual(["sheet.pdf", "readings.json", "readings.csv", "marks.json"]);
  });
});

describe("readings.json", () => {
  test("is one text for one content, whatever order the keys came in", () => {
    const readings = inventedReadings();
    const turned = Object.fromEntries(Object.entries(readings).reverse()) as unknown as Readings;
    expect(readingsJson(turned)).toBe(readingsJson(readings));
    expect(Readings.parse(JSON.parse(readingsJson(readings)))).toEqual(readings);
  });

  test("refuses what its schema does not allow, and numbers that are none", () => {
    expect(() => readingsJson(inventedReadings({ asked: Number.NaN }))).toThrow("do not fit their schema");
    expect(() => readingsJson({ ...inventedReadings(), patient: "Invented Person" } as never)).toThrow("schema");
  });
});

describe("readings.csv", () => {
  const rows = readingsCsv(inventedReadings()).trimEnd().split("\r\n");
  const header = rows[0]!.split(",");

  test("has a row per reading and as many fields in each as in the head", () => {
    expect(rows.filter((r) => r.startsWith("width,"))).toHaveLength(9);
    expect(rows.filter((r) => r.startsWith("pattern verdict,"))).toHaveLength(2);
    for (const row of rows) {
      const fields = row.replaceAll(/"(?:[^"]|"")*"/g, "quoted").split(",");
      expect(fields).toHaveLength(header.length);
    }
  });

  test("gives the change of 3-3 with its uncertainty in plain numbers", () => {
    const fields = rows.find((r) => r.startsWith("width,cusp-tip,3-3"))!.split(",");
    const value = (column: string) => fields[header.indexOf(column)];
    expect(value("change_mm")).toBe("6.0800");
    expect(value("earlier_mm")).toBe("30.1200");
    expect(value("within_measurement_error")).toBe("no");
    expect(value("invented")).toBe("yes");
  });

  test("gives the opening of the halves and their angle with their intervals", () => {
    const csv = readingsCsv(inventedReadings());
    expect(csv).toMatch(/opening of the halves in front,palatal halves,,,,the canines,,given,4\.3100,mm,/);
    expect(csv).toMatch(/opening angle of the halves,palatal halves,.*given,6\.9100,degrees,6\.\d+,7\.\d+/);
    expect(csv).toMatch(/axis of the halves behind the canines,palatal halves,.*given,36\.1000,mm,/);
  });

  test("gives every crown's motion against its half and the arch, by tooth", () => {
    const csv = readingsCsv(inventedReadings());
    expect(csv).toMatch(/tipping to buccal,against its half,,16,,,,given,3\.1000,degrees,/);
    expect(csv).toMatch(/tipping to buccal,against the arch,,,26,,,given,0\.2000,degrees,/);
    expect(csv).toMatch(/crown,,,,27,,,withheld,.*reason of the crown/);
  });

  test("a withheld reading keeps its row, with its reason and without a number", () => {
    const row = rows.find((r) => r.startsWith("width,palatal-gingival,7-7"))!;
    expect(row).toContain("withheld");
    expect(row).toContain("needs the palatal gingival point of 27 on the after scan");
    expect(row.split(",")[header.indexOf("change_mm")]).toBe("");
  });

  test("has the gingival to cusp ratio of each pair, its pivot, and tipping from points by tooth", () => {
    const csv = readingsCsv(inventedReadings());
    expect(csv).toMatch(/gingival to cusp ratio,,3-3,,,,,given,0\.8000,1,0\.7200,0\.8800,/);
    expect(csv).toMatch(/apparent frontal pivot above the gingival points,,3-3,,,,,given,24,mm,15,33,/);
    expect(csv).toMatch(/tipping to buccal from points,,3-3,13,,,,given,3\.4000,degrees,/);
    expect(csv).toMatch(/gingival to cusp ratio,,6-6,.*withheld,.*reason of the gingival ratio/);
  });

  test("text that a spreadsheet would run as a formula is shown as text; negative numbers stay numbers", () => {
    const csv = readingsCsv(inventedReadings({ span: { from: "=2+2", to: '@a,"b"', words: "expansion" } }));
    expect(csv).toContain(",'=2+2,");
    expect(csv).toContain(`,"'@a,""b""",`);
    expect(csv).toMatch(/slope towards the back,cusp-tip,.*,-1\.6800,mm per 10 mm,/);
  });
});

test("the published schemas are those of the code (npx tsx scripts/make-schemas.ts writes them)", () => {
  for (const { name, text } of schemaTexts()) {
    expect(JSON.parse(readFileSync(join(root, "schemas", name), "utf8")), name).toEqual(JSON.parse(text));
  }
});
