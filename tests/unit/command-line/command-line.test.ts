import { execFile } from "node:child_process";
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { Readings } from "#core/readings/readings-document";

const ROOT = resolve(import.meta.dirname, "../../..");
const FAN = join(ROOT, "sample-meshes/fan");
const before = join(FAN, "before.stl");
const after = join(FAN, "after.ply");
const marks = join(FAN, "marks-fan.json");

let work: string;
beforeAll(() => {
  work = mkdtempSync(join(tmpdir(), "raphe-command-line-"));
});
afterAll(() => rmSync(work, { recursive: true, force: true }));

interface Ended {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/** Runs the built command line on plain Node, without a display. */
const raphe = (...given: string[]): Promise<Ended> =>
  new Promise((done) => {
    const env = { ...process.env };
    delete env.DISPLAY;
    execFile(process.execPath, [join(ROOT, "bin/raphe.mjs"), ...given], { env }, (error, out, err) =>
      done({ code: error === null ? 0 : Number(error.code), out, err }),
    );
  });

interface Mark {
  readonly tooth?: number;
  readonly place: string;
  readonly at: readonly [number, number, number];
}

/** The sample's landmarks of both scans, as far as they are wanted: fewer readings are made faster. */
function someMarks(wanted: (mark: Mark, scan: "before" | "after") => boolean): string {
  const { scans } = JSON.parse(readFileSync(marks, "utf8")) as { scans: Record<string, { landmarks: Mark[] }> };
  const of = (scan: "before" | "after") => ({ landmarks: scans[scan]!.landmarks.filter((mark) => wanted(mark, scan)) });
  const content = JSON.stringify({ version: 1, scans: { before: of("before"), after: of("after") } });
  return file(`marks-${marked++}.json`, content);
}
let marked = 0;

const onTeeth = ({ tooth = 0 }: Mark, ...teeth: number[]): boolean => teeth.includes(tooth);
/** One cusp a tooth, those that widths are taken between. */
const isCusp = ({ place }: Mark): boolean => ["cusp-tip", "buccal-cusp-tip", "mesiobuccal-cusp-tip"].includes(place);

/** What a measurement of the widths and the halves takes; the sample case below is measured with all its landmarks. */
const isWidthOrMidline = (mark: Mark): boolean =>
  isCusp(mark) || ["palatal-gingival", "incisive-papilla", "median-raphe"].includes(mark.place);

/** Landmarks of canines and first molars alone. */
const fewMarks = () => someMarks((mark) => isCusp(mark) && onTeeth(mark, 13, 23, 16, 26));

let folders = 0;
const fresh = (): string => join(work, `out-${folders++}`);
const file = (name: string, content: string | Uint8Array): string => {
  const path = join(work, name);
  writeFileSync(path, content);
  return path;
};
const measure = (...given: string[]) => raphe("measure", ...given, "--out", fresh());

/** The earlier scan with its coordinates in metres. */
function beforeInMetres(): string {
  const stl = readFileSync(before);
  for (let t = 84; t + 50 <= stl.length; t += 50) {
    for (let k = 12; k < 48; k += 4) stl.writeFloatLE(stl.readFloatLE(t + k) / 1000, t + k);
  }
  return file("metres.stl", stl);
}

describe("raphe measure on the invented fan-shaped pair, the earlier scan in metres and that said", () => {
  let ended: Ended;
  let out: string;
  const intoFolder = (folder: string) =>
    raphe(
      ...["measure", beforeInMetres(), after, "--unit", "before=m", "--landmarks", someMarks(isWidthOrMidline)],
      ...["--out", folder, "--invented", "--issued-at", "2026-11-25T10:42:00Z", "--pseudonym", "SAMPLE-1"],
    );
  beforeAll(async () => {
    out = fresh();
    ended = await intoFolder(out);
  });
  const read = (name: string) => readFileSync(join(out, name), "utf8");

  test("makes every asked reading and says so by exit code 0", () => {
    expect(ended.err).not.toContain("raphe:");
    expect(ended.code).toBe(0);
  });

  test("leaves sheet, readings, table, landmarks and pictures, and no half-written file", () => {
    expect(readdirSync(out).sort()).toEqual([
      "marks.json",
      "picture-distance.png",
      "picture-from-below.png",
      "picture-from-the-front.png",
      "readings.csv",
      "readings.json",
      "sheet.pdf",
    ]);
    expect(readFileSync(join(out, "sheet.pdf")).subarray(0, 5).toString()).toBe("%PDF-");
  });

  test("readings.json passes its schema and holds widths with uncertainty and the pattern by level", () => {
    const readings = Readings.parse(JSON.parse(read("readings.json")));
    expect(readings.patterns.map((p) => (p.state === "given" ? [p.reading.level, p.reading.verdict] : null))).toEqual([
      ["cusp-tip", "fan-front"],
      ["palatal-gingival", "fan-front"],
    ]);
    for (const width of readings.widths) {
      if (width.change.state === "given") expect(width.change.reading.standardUncertainty).toBeGreaterThan(0);
    }
  });

  test("prints a summary with the verdict, and the cautions", () => {
    expect(ended.out).toContain("INVENTED SAMPLE, NO PATIENT");
    expect(ended.out).toContain("fan-shaped, wider in front");
    expect(ended.out).toContain("A surface scan shows neither suture, roots nor bone.");
  });

  test("writes no file name or header text of the scans into the record", () => {
    for (const name of ["readings.json", "readings.csv", "marks.json"]) {
      expect(read(name)).not.toMatch(/metres\.stl|before\.stl|after\.ply|sample-meshes/);
    }
  });

  test("the same input gives the same bytes", async () => {
    const again = fresh();
    await intoFolder(again);
    for (const name of readdirSync(out)) {
      expect(readFileSync(join(again, name)).equals(readFileSync(join(out, name))), name).toBe(true);
    }
  });

  test("never overwrites an earlier record", async () => {
    const second = await raphe("measure", before, after, "--landmarks", marks, "--out", out);
    expect(second.code).toBe(2);
    expect(second.err).toContain("never overwritten");
  });

  test("landmarks missing on one scan are carried over from the other, and a tooth that is not there is not a failure", async () => {
    const placed = someMarks(
      (mark, scan) =>
        isCusp(mark) && onTeeth(mark, 13, 23, 15, 25, 16, 26) && !(scan === "after" && onTeeth(mark, 15, 26)),
    );
    const timepoints = [{ scan: before }, { scan: after, details: { teeth: { 15: "missing" } } }];
    const caseFile = file("without-15.json", JSON.stringify({ version: 1, marks: placed, timepoints }));
    const ended = await measure("--case", caseFile);
    expect(ended.err).not.toContain("raphe:");
    expect(ended.code).toBe(0);
    expect(ended.out).not.toContain("needs the mesiobuccal cusp tip of 26");
    expect(ended.out).toContain("Points placed on one scan only were carried to the other");
    expect(ended.out).toContain("5–5 buccal cusp tips: tooth 15 is missing on the after scan");
  });

  test("landmarks missing where their crown was not scanned: the rest is measured, the missing asked for by tooth and place", async () => {
    const all = JSON.parse(readFileSync(marks, "utf8")) as { scans: { before: { landmarks: Mark[] } } };
    const fossa = all.scans.before.landmarks.find((mark) => onTeeth(mark, 26) && mark.place === "central-fossa")!.at;
    const stl = readFileSync(before);
    const kept = [stl.subarray(0, 84)];
    for (let t = 84; t + 50 <= stl.length; t += 50) {
      const away = Math.hypot(...fossa.map((at, axis) => stl.readFloatLE(t + 12 + 4 * axis) - at));
      if (away > 8) kept.push(stl.subarray(t, t + 50));
    }
    const cut = Buffer.concat(kept);
    cut.writeUInt32LE(kept.length - 1, 80);
    const ended = await measure(
      ...[file("without-26.stl", cut), after, "--landmarks"],
      someMarks((mark, scan) => isCusp(mark) && !(scan === "before" && onTeeth(mark, 26))),
    );
    expect(ended.code).toBe(1);
    expect(ended.out).toContain(
      "needs the mesiobuccal cusp tip of 26 on the before scan; it could not be carried over",
    );
    expect(ended.out).toContain("fan-shaped");
  });

  test("a scan that cannot be read is named, and the widths on the other are still measured", async () => {
    const ended = await measure(before, join(work, "nowhere.ply"), "--landmarks", fewMarks());
    expect(ended.code).toBe(1);
    expect(ended.err).toContain("nowhere.ply: there is no such file");
    expect(ended.out).toMatch(/3–3\s+cusp tips\s+\d\d\.\d\s+–\s+withheld/);
  });

  test("where the unit is not said, it is asked for", async () => {
    const asked = await measure(beforeInMetres(), after, "--landmarks", fewMarks());
    expect(asked.code).toBe(1);
    expect(asked.err).toMatch(/metres\.stl: .*in metres.*--unit before=m/);
  });
});

describe("raphe measure --case on the invented fan-shaped case", () => {
  let ended: Ended;
  let out: string;
  beforeAll(async () => {
    out = fresh();
    ended = await raphe("measure", "--case", join(FAN, "case.json"), "--out", out, "--scanner", "0,0,0");
  }, 240_000);
  const read = (...path: string[]) => readFileSync(join(out, ...path), "utf8");

  test("measures every scan against the first and against the one before it, each pair in a folder of its own", () => {
    expect(ended.err).not.toContain("raphe:");
    expect(ended.code).toBe(0);
    expect(readdirSync(out).sort()).toEqual([
      "after-to-in-retention",
      "all.csv",
      "before-to-after",
      "before-to-in-retention",
    ]);
    for (const folder of readdirSync(out).filter((name) => name !== "all.csv")) {
      expect(readdirSync(join(out, folder))).toEqual(
        expect.arrayContaining(["marks.json", "readings.csv", "readings.json", "sheet.pdf"]),
      );
    }
    const { span } = Readings.parse(JSON.parse(read("after-to-in-retention", "readings.json")));
    expect(span).toEqual({ from: "after", to: "in retention", words: "retention" });
    expect(ended.out).toContain("before → in retention");
  });

  test("takes what the case says, and the scanner's figures from the command", () => {
    const readings = Readings.parse(JSON.parse(read("before-to-after", "readings.json")));
    expect(readings.invented).toBe(true);
    expect(readings.assumptions).toMatchObject({ delta: 1, scannerAtCanines: 0, scannerAtMolars: 0, scannerLocal: 0 });
  });

  test("the table has the readings of all pairs", () => {
    const rows = (text: string) => text.trimEnd().split("\r\n").slice(1);
    const folders = ["before-to-after", "before-to-in-retention", "after-to-in-retention"];
    expect(rows(read("all.csv"))).toEqual(folders.flatMap((folder) => rows(read(folder, "readings.csv"))));
  });
});

describe("a case file that is not right", () => {
  const least = { version: 1, marks, timepoints: [{ scan: before }, { scan: after }] };
  const caseFile = (name: string, more: object) => file(name, JSON.stringify({ ...least, ...more }));

  test.each<[string, () => string[], RegExp]>([
    ["is missing", () => [join(work, "none.json")], /none\.json: there is no such case file/],
    ["has an unknown key", () => [caseFile("key.json", { expnder: {} })], /key\.json: .*is 'expander' meant\?/],
    [
      "names a landmark file that is not there",
      () => [caseFile("far.json", { marks: "far/m.json" })],
      /far\/m\.json: there is no such landmark file/,
    ],
    [
      "names landmarks of a timepoint it lacks",
      () => [caseFile("two.json", {})],
      /it has landmarks for in-retention, but the case has no such timepoint/,
    ],
    ["stands beside what it says itself", () => [caseFile("a.json", {}), "--invented"], /--invented does not go with/],
    ["stands beside scans", () => [caseFile("b.json", {}), before], /names its scans itself/],
  ])("%s", async (_, given, message) => {
    const ended = await measure("--case", ...given());
    expect(ended.code).toBe(2);
    expect(ended.err).toMatch(message);
  });

  test("names a scan that is not there: the other is still measured", async () => {
    const timepoints = [{ scan: before }, { scan: "gone.ply" }, { name: "in retention", scan: "gone.ply" }];
    const out = fresh();
    const ended = await raphe(
      "measure",
      "--case",
      caseFile("gone.json", { marks: fewMarks(), timepoints }),
      "--out",
      out,
    );
    expect(ended.code).toBe(1);
    expect(ended.err).toContain("gone.ply: there is no such file");
    expect(readdirSync(out).sort()).toEqual(["all.csv", "before-to-after", "before-to-in-retention"]);
  });
});

describe("bad input on the command line gets a typed error that names the file and what to do", () => {
  const header = (faces: number) =>
    `ply\nformat ascii 1.0\nelement vertex 3\nproperty float x\nproperty float y\nproperty float z\nelement face ${faces}\nproperty list uchar int vertex_indices\nend_header\n`;
  const stl = readFileSync(before);

  test.each<[string, () => string, RegExp]>([
    ["a missing file", () => join(work, "missing.stl"), /missing\.stl: there is no such file.*Check the path/],
    [
      "a folder",
      () => {
        mkdirSync(join(work, "folder"), { recursive: true });
        return join(work, "folder");
      },
      /folder: this is a folder/,
    ],
    ["a text file", () => file("letter.stl", "Dear colleague, thank you for the referral."), /letter\.stl: .*text/i],
    ["an empty file", () => file("empty.ply", ""), /empty\.ply: .*empty/i],
    ["a truncated scan", () => file("cut.stl", stl.subarray(0, 84 + 50 * 100 + 20)), /cut\.stl: /],
    [
      "a point cloud",
      () => file("points.ply", `${header(0)}0 0 0\n1 0 0\n0 1 0\n`),
      /points\.ply: .*(points|faces|triangles)/i,
    ],
    [
      "coordinates that are no numbers",
      () => file("nan.ply", `${header(1)}0 0 nan\n1 0 0\n0 1 0\n3 0 1 2\n`),
      /nan\.ply: .*(number|finite)/i,
    ],
  ])("%s", async (_, make, message) => {
    const ended = await measure(make(), make(), "--landmarks", marks);
    expect(ended.code).toBe(2);
    expect(ended.err).toMatch(message);
    expect(ended.err).not.toContain("unexpected error");
  });

  test.each<[string, string, RegExp]>([
    ["landmarks that are not JSON", "solid", /not JSON/],
    [
      "landmarks of other timepoints",
      '{"version":1,"scans":{"later":{"landmarks":[]}}}',
      /for later, but not for before or after/,
    ],
    [
      "a landmark with a wrong tooth",
      '{"version":1,"scans":{"before":{"landmarks":[{"tooth":99,"place":"cusp-tip","at":[0,0,0]}]}}}',
      /ISO 3950/,
    ],
  ])("%s", async (name, content, message) => {
    const ended = await measure(before, after, "--landmarks", file(`${name}.json`, content));
    expect(ended.code).toBe(2);
    expect(ended.err).toMatch(message);
  });

  test("wrong arguments are explained", async () => {
    expect((await raphe("measure", before)).err).toContain("two scans or --case are needed");
    expect((await raphe("measure", before, after, "--out", fresh())).err).toContain("--landmarks is missing");
    expect((await raphe("weigh")).code).toBe(2);
    expect((await raphe("--help")).out).toContain("Exit code 0");
  });
});

test("nothing the command line is built from asks for Electron", () => {
  const built = readFileSync(join(ROOT, "out/cli/raphe.cjs"), "utf8");
  expect(built).not.toMatch(/require\(["'`]electron["'`]\)/);
});
