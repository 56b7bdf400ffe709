import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { describe, expect, test } from "vitest";
import { type Marks, parseMarks } from "#core/arch/marks";
import { parseCaseDescription } from "#core/case/case-description";
import { CaseDocument, DEFAULT_SETTINGS } from "#core/case/case-document";
import { describedCase, describedFiles, type OpenedFiles } from "#core/case/described-case";
import { UNSTATED_EXPANDER } from "#core/case/expander";
import { NO_PLAN } from "#core/case/plan";
import { emptyTimepoint } from "#core/case/timepoint";
import { RapheError } from "#core/errors";

const tip = (tooth: number, x = 1) => ({ tooth, place: "cusp-tip", at: [x, 2, 3] });
const marksOf = (scans: Record<string, unknown[]>): Marks =>
  parseMarks(
    JSON.stringify({
      version: 1,
      scans: Object.fromEntries(Object.entries(scans).map(([name, landmarks]) => [name, { landmarks }])),
    }),
    "marks.json",
  );

const sha256Of = (...bytes: number[]) => createHash("sha256").update(Uint8Array.from(bytes)).digest("hex");
const hash = (letter: string) => letter.repeat(64);
const scan = (letter: string) => ({ sha256: hash(letter), fileName: `${letter}.stl`, triangles: 20 });
const NOTHING: OpenedFiles = { scans: new Map(), marks: new Map(), painted: new Map() };

/** The least that can be written, with one entry more. */
const least = (more: object = {}, timepoints: object[] = [{}, {}]) => ({
  version: 1,
  timepoints: timepoints.map((timepoint, i) => ({
    scan: `${i}.stl`,
    ...(i === 0 ? { landmarks: [tip(13)] } : {}),
    ...timepoint,
  })),
  ...more,
});

const caseOf = (written: object, opened: OpenedFiles = NOTHING): CaseDocument =>
  describedCase(parseCaseDescription(JSON.stringify(written), "case.json"), opened, "case.json");

/** The parts of the error that reading a case gives. */
function refusal(written: object | string, opened: OpenedFiles = NOTHING) {
  try {
    const text = typeof written === "string" ? written : JSON.stringify(written);
    describedCase(parseCaseDescription(text, "case.json"), opened, "case.json");
  } catch (thrown) {
    if (thrown instanceof RapheError) return thrown.parts();
    throw thrown;
  }
  throw new Error("nothing was refused");
}

describe("a case written by hand", () => {
  test("needs scans and landmarks only; all else has its default, and names and kinds follow the order of time", () => {
    expect(caseOf(least({}, [{}, {}, {}, {}]))).toEqual({
      schema: 1,
      invented: false,
      identity: {
        pseudonym: "",
        recordNumber: "",
        birthYear: null,
        birthMonth: null,
        examiner: "",
        expander: UNSTATED_EXPANDER,
      },
      plan: NO_PLAN,
      timepoints: [
        { ...emptyTimepoint("before", "before"), landmarks: [tip(13)] },
        emptyTimepoint("after", "after"),
        emptyTimepoint("in retention", "retention"),
        emptyTimepoint("in retention 2", "retention"),
      ],
      span: { from: "before", to: "after" },
      settings: DEFAULT_SETTINGS,
    });
  });

  test("says everything that a case holds", () => {
    const written = {
      $schema: "case.schema.json",
      version: 1,
      title: "a case",
      invented: true,
      identity: { pseudonym: "K-1", recordNumber: "77", birthYear: 2012, birthMonth: 3, examiner: "ab" },
      expander: {
        kind: "tooth-borne",
        description: "four bands",
        millimetresPerTurn: 0.2,
        millimetresPerTurnAtEnds: { front: 0.3, back: 0.1 },
        capacity: 11,
        turnsOpenAtFitting: 2,
        phases: [
          { direction: "opening", turns: 30, from: "2026-03-04", to: "2026-04-02" },
          { direction: "closing", turns: 3, from: "2026-04-05" },
        ],
      },
      plan: {
        target: { pair: "6-6", level: "palatal-gingival", millimetres: 4.5 },
        overCorrection: 2,
        expectedLossPercent: 25,
      },
      settings: {
        delta: 0.8,
        scanner: { atCanines: 0.01, atMolars: 0.02, local: 0.03 },
        pointWidth: 0.2,
        separationFrom: 3,
      },
      marks: "marks.json",
      timepoints: [
        {
          name: "start",
          kind: "before",
          date: "2026-03-03",
          scan: "a.stl",
          unit: "cm",
          details: {
            scanner: "make and model",
            teeth: { 13: "deciduous", 15: "missing" },
            appliance: { kind: "removed", removedDaysAgo: 2, teeth: [16, 26] },
            crossbite: { 14: "crossbite", 16: "scissor-bite" },
            fixedApplianceActive: true,
            uprightingIntended: true,
          },
          appliancePainted: "a.bits",
          referencePainted: "r.bits",
          lower: { scan: "l.ply", unit: "inch", marks: "lower.json" },
          repeats: [
            { examiner: "ab", marks: "again.json" },
            { examiner: "cd", landmarks: [tip(13, 9)] },
          ],
        },
        { name: "end of turning", kind: "after", scan: "b.stl", landmarks: [tip(23)] },
        { name: "in retention", scan: "c.stl" },
      ],
    };
    expect(describedFiles(parseCaseDescription(JSON.stringify(written), "case.json"))).toMatchObject({
      scans: [
        { of: "start", path: "a.stl", unit: "cm", unitSaid: true },
        { of: "start, lower", path: "l.ply", unit: "inch" },
        { of: "end of turning", path: "b.stl", unit: "mm", unitSaid: false },
        { of: "in retention", path: "c.stl" },
      ],
      marks: ["marks.json", "lower.json", "again.json"],
      painted: ["a.bits", "r.bits"],
    });
    const document = caseOf(written, {
      scans: new Map([
        ["a.stl", scan("a")],
        ["l.ply", scan("d")],
        ["b.stl", null],
        ["c.stl", scan("c")],
      ]),
      marks: new Map([
        // Hyphens stand for the blanks of a timepoint's name.
        ["marks.json", marksOf({ start: [tip(13)], "in-retention": [tip(13, 5)] })],
        ["lower.json", marksOf({ anything: [tip(33)] })],
        ["again.json", marksOf({ start: [tip(13, 8)], other: [] })],
      ]),
      painted: new Map([
        ["a.bits", Uint8Array.of(1, 2, 3)],
        ["r.bits", Uint8Array.of(3, 2, 1)],
      ]),
    });
    const { identity, expander, plan, settings } = written;
    const details = written.timepoints[0]!.details!;
    expect(document).toEqual({
      schema: 1,
      invented: true,
      identity: {
        ...identity,
        expander: { ...expander, phases: [expander.phases[0], { ...expander.phases[1], to: null }] },
      },
      plan,
      timepoints: [
        {
          name: "start",
          kind: "before",
          date: "2026-03-03",
          scan: { sha256: hash("a"), fileName: "a.stl", unit: "cm" },
          landmarks: [tip(13)],
          details: {
            ...details,
            teeth: [
              { tooth: 13, state: "deciduous" },
              { tooth: 15, state: "missing" },
            ],
            crossbite: [
              { tooth: 14, relation: "crossbite" },
              { tooth: 16, relation: "scissor-bite" },
            ],
          },
          appliancePainted: { sha256: sha256Of(1, 2, 3), triangles: 20 },
          referencePainted: { sha256: sha256Of(3, 2, 1), triangles: 20 },
          lower: { scan: { sha256: hash("d"), fileName: "d.stl", unit: "inch" }, landmarks: [tip(33)] },
          repeats: [
            { examiner: "ab", landmarks: [tip(13, 8)] },
            { examiner: "cd", landmarks: [tip(13, 9)] },
          ],
        },
        { ...emptyTimepoint("end of turning", "after"), landmarks: [tip(23)] },
        {
          ...emptyTimepoint("in retention", "retention"),
          scan: { sha256: hash("c"), fileName: "c.stl", unit: "mm" },
          landmarks: [tip(13, 5)],
        },
      ],
      span: { from: "start", to: "end of turning" },
      settings,
    });
    expect(CaseDocument.parse(document)).toEqual(document);
  });

  test.each(["fan", "parallel"])("the %s sample is one", (set) => {
    const folder = resolve(import.meta.dirname, "../../../sample-meshes", set);
    const description = parseCaseDescription(readFileSync(join(folder, "case.json"), "utf8"), "case.json");
    const { marks, scans } = describedFiles(description);
    const read = marks.map((path) => [path, parseMarks(readFileSync(join(folder, path), "utf8"), path)] as const);
    const opened = { ...NOTHING, marks: new Map(read), scans: new Map(scans.map(({ path }) => [path, scan("a")])) };
    const document = describedCase(description, opened, "case.json");
    expect(document.invented).toBe(true);
    expect(document.timepoints.every((t) => t.landmarks.length > 80 && t.scan !== null)).toBe(true);
    if (set === "fan") expect(document.timepoints[0]!.lower!.landmarks.length).toBeGreaterThan(50);
  });
});

describe("what cannot be read of a case is named by its place, with what to do", () => {
  test.each<[string, object | string, string, string | RegExp]>([
    ["text that is not JSON", '{"version": 1,', "this is not JSON", /./],
    ["another version", least({ version: 2 }), "Invalid input: expected 1", "version"],
    ["one scan only", least({}, [{}]), "two scans or more are compared", "timepoints"],
    ["a timepoint without a scan", least({}, [{ scan: undefined }, {}]), "Invalid input", "timepoints → 0 → scan"],
    [
      "a mistyped key",
      least({}, [{}, { detials: {} }]),
      "there is no 'detials' here; is 'details' meant?",
      "timepoints → 1",
    ],
    [
      "a key of another object",
      least({ expander: { screw: 1 } }),
      "there is no 'screw' here, but kind, description, millimetresPerTurn",
      "expander",
    ],
    ["a day that is none", least({}, [{}, { date: "2026-02-30" }]), "a day of the calendar", "timepoints → 1 → date"],
    [
      "timepoints out of order",
      least({}, [{ date: "2026-05-01" }, {}, { date: "2026-04-01" }]),
      "2026-04-01 is before 2026-05-01",
      "timepoints → 2 → date",
    ],
    [
      "two timepoints of one name",
      least({}, [{ name: "after" }, {}]),
      "a second timepoint is named 'after'",
      "timepoints → 1 → name",
    ],
    [
      "landmarks twice",
      least({}, [{ marks: "m.json" }, {}]),
      "either here or in a file, not both",
      "timepoints → 0 → marks",
    ],
    [
      "a landmark on a place that its tooth lacks",
      least({}, [{ landmarks: [{ ...tip(16) }] }, {}]),
      "tooth 16 has no cusp-tip",
      "timepoints → 0 → landmarks → 0 → place",
    ],
    [
      "an unknown key of a landmark",
      least({}, [{ landmarks: [{ ...tip(13), snapped: true }] }, {}]),
      "snapped",
      "timepoints → 0 → landmarks → 0",
    ],
    [
      "the state of a tooth that is none",
      least({}, [{ details: { teeth: { 19: "missing" } } }, {}]),
      "'19' is not an upper permanent tooth by ISO 3950",
      "timepoints → 0 → details → teeth → 19",
    ],
    [
      "a state that teeth do not have",
      least({}, [{ details: { teeth: { 15: "gone" } } }, {}]),
      "missing",
      "timepoints → 0 → details → teeth → 15",
    ],
    [
      "a phase that ends before it begins",
      least({
        expander: { phases: [{ direction: "opening", turns: 1, from: "2026-03-02", to: "2026-03-01" }] },
      }),
      "2026-03-01 is before 2026-03-02",
      "expander → phases → 0 → to",
    ],
    [
      "a pair of teeth that is none",
      least({ plan: { target: { pair: "6-7", level: "cusp-tip", millimetres: 3 } } }),
      "6-6",
      "plan → target → pair",
    ],
    ["a negative figure", least({ settings: { delta: -1 } }), "Too small", "settings → delta"],
  ])("%s", (_, written, problem, where) => {
    const parts = refusal(written);
    expect(parts).toMatchObject({ code: "case-malformed", subject: "case.json" });
    expect(parts.problem).toContain(problem);
    if (typeof where === "string") expect(parts.where).toBe(where);
    else expect(parts.where).toMatch(where);
    expect(parts.remedy).not.toBe("");
  });

  test("no landmarks anywhere", () => {
    expect(refusal(least({}, [{ landmarks: undefined }, {}]))).toMatchObject({
      code: "marks-missing-scan",
      problem: "no scan of the case has landmarks",
    });
  });

  test("landmarks of a timepoint that the case does not have", () => {
    const opened = { ...NOTHING, marks: new Map([["m.json", marksOf({ befor: [tip(13)], after: [] })]]) };
    expect(refusal(least({ marks: "m.json" }), opened)).toMatchObject({
      code: "marks-missing-scan",
      subject: "m.json",
      problem: "it has landmarks for befor, but the case has no such timepoint",
      remedy: "Correct the name; the timepoints are before, after",
    });
  });

  test("a landmark file of several other scans", () => {
    const opened = { ...NOTHING, marks: new Map([["m.json", marksOf({ one: [], two: [] })]]) };
    const written = least({}, [{ landmarks: undefined, marks: "m.json" }, {}]);
    expect(refusal(written, opened)).toMatchObject({
      code: "marks-missing-scan",
      problem: "it has landmarks for one, two, but not for before",
    });
  });

  test("a painted area of another scan", () => {
    const opened = {
      ...NOTHING,
      scans: new Map([["0.stl", scan("a")]]),
      painted: new Map([["a.bits", Uint8Array.of(1, 2, 3, 4)]]),
    };
    const parts = refusal(least({}, [{ appliancePainted: "a.bits" }, {}]), opened);
    expect(parts).toMatchObject({ code: "malformed", subject: "a.bits" });
    expect(parts.problem).toBe("it has 4 bytes, a scan of 20 triangles needs 3");
  });
});
