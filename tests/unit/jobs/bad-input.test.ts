import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import type { Landmark } from "#core/arch/landmark";
import { parseMarks } from "#core/arch/marks";
import type { Readings } from "#core/readings/readings-document";
import { marksOf, SampleCase } from "./sample-case";

/** Scans that do not belong together, or are marked wrongly: refused or warned of, with the reason and what to do. */
const FOLDER = resolve(import.meta.dirname, "../../../sample-meshes");
const bytes = (file: string) => readFileSync(join(FOLDER, file));
const fan = marksOf("fan");
const parallel = marksOf("parallel");

const onOtherSide = (landmarks: readonly Landmark[], which = (_: number) => true): Landmark[] =>
  landmarks.map((mark) =>
    mark.tooth === undefined || !which(mark.tooth)
      ? mark
      : { ...mark, tooth: mark.tooth + (mark.tooth < 20 ? 10 : -10) },
  );

const fourCusps = (landmarks: readonly Landmark[]): Landmark[] =>
  landmarks.filter(({ tooth, place }) => [13, 23, 16, 26].includes(tooth!) && /^(mesiobuccal-)?cusp-tip$/.test(place));

const warned = ({ warnings }: Readings, code: string): string[] =>
  warnings.flatMap((warning) => (warning.code === code ? [warning.text] : []));

type Change = Readings["widths"][number]["change"];

/** Every change of a group of readings. */
function changesIn(group: unknown): Change[] {
  if (typeof group !== "object" || group === null) return [];
  const own = "change" in group ? [group.change as Change] : [];
  return [...own, ...Object.values(group).flatMap(changesIn)];
}

/** No change, no pattern, nothing laid over; each with the reason. */
function nothingCompared({ readings, overlay }: ReturnType<SampleCase["measure"]>, reason: RegExp): void {
  expect(readings.widths.length).toBeGreaterThan(0);
  const compared = [
    ...readings.widths.map(({ change }) => change),
    ...changesIn(readings.arch),
    ...readings.tipping.flatMap(({ gingivalToCusp, anglesFromPoints }) => [
      gingivalToCusp,
      ...anglesFromPoints.map(({ angle }) => angle),
    ]),
  ];
  for (const change of compared) {
    expect(change).toMatchObject({ state: "withheld", reason: { text: expect.stringMatching(reason) } });
  }
  expect(readings.patterns.filter(({ state }) => state === "given")).toEqual([]);
  expect([readings.halves.state, readings.distance.state]).toEqual(["withheld", "withheld"]);
  expect(readings.crowns.filter(({ motion }) => motion.state === "given")).toEqual([]);
  expect(overlay).toBeNull();
  expect(readings.headline.map(({ text }) => text).join("")).not.toMatch(/\d/);
  expect(readings.made).toBeLessThan(readings.asked);
}

describe("scans of two people", () => {
  const sample = new SampleCase("fan");
  beforeAll(async () => {
    await sample.openBytes("before", "before.stl", bytes("fan/before.stl"));
    await sample.openBytes("after", "after.ply", bytes("parallel/after.ply"));
  });

  test.each([
    ["with every landmark on both", (list: readonly Landmark[]) => list],
    ["with four cusp tips on both", fourCusps],
  ])("%s: no change is read, and it is said why and what to do", (_, of) => {
    const measured = sample.measure("before", "after", {
      before: { landmarks: [...of(fan.before!.landmarks)] },
      after: { landmarks: [...of(parallel.after!.landmarks)] },
    });
    nothingCompared(
      measured,
      /neither half of the palate is the same on both scans.* Take two upper scans of one patient/,
    );
    const { readings } = measured;
    expect(readings.headline.map(({ text }) => text).join("")).toBe(
      "The two scans do not belong together: no change is read.",
    );
    expect(warned(readings, "identity")).toEqual([expect.stringMatching(/different patients/)]);
    // What one scan shows by itself stands.
    for (const { before, after } of readings.widths) expect([before.state, after.state]).toEqual(["given", "given"]);
  });
});

describe("an upper scan against a lower one", () => {
  const sample = new SampleCase("fan");
  const { lower } = parseMarks(bytes("fan/marks-lower.json").toString(), "marks-lower.json").scans;
  /** The lower arch's landmarks with upper names, right for right. */
  const asUpper = lower!.landmarks.map((mark) => ({
    ...mark,
    tooth: mark.tooth! + (mark.tooth! < 40 ? -10 : -30),
    place: mark.place.replace("lingual", "palatal") as Landmark["place"],
  }));
  beforeAll(async () => {
    await sample.openBytes("before", "before.stl", bytes("fan/before.stl"));
    await sample.openBytes("after", "lower.ply", bytes("fan/lower.ply"));
  });

  test("without landmarks on it: nothing is carried over, and the lower arch is suspected", () => {
    const { readings } = sample.measure("before", "after", { before: fan.before!, after: { landmarks: [] } });
    expect(readings.landmarks.filter(({ how }) => how === "carried")).toEqual([]);
    for (const { change } of readings.widths) {
      expect(change).toMatchObject({
        state: "withheld",
        reason: { text: expect.stringMatching(/could not be carried over: .*not both of the upper arch/) },
      });
    }
    expect(readings.halves).toMatchObject({ state: "withheld", reason: { code: "identity-doubtful" } });
    expect(warned(readings, "palate-on-one-scan")).toEqual([
      expect.stringMatching(/Only the before scan shows a palate: is the after scan one of the lower arch\?/),
    ]);
  });

  test("marked as an upper one as it looks from the mouth: warned of, and no halves are read", () => {
    const { readings } = sample.measure("before", "after", {
      before: fan.before!,
      after: { landmarks: onOtherSide(asUpper) },
    });
    expect(readings.halves).toMatchObject({ state: "withheld", reason: { code: "identity-doubtful" } });
    expect(readings.crowns.filter(({ motion }) => motion.state === "given")).toEqual([]);
    expect(warned(readings, "identity")).toEqual([expect.stringMatching(/not both of the upper arch/)]);
    expect(warned(readings, "palate-on-one-scan")).toHaveLength(1);
  });

  test.each([
    ["every landmark", asUpper, fan.before!.landmarks],
    ["four cusp tips", fourCusps(asUpper), fourCusps(fan.before!.landmarks)],
  ])(
    "marked as an upper one, right for right (%s): its cusps point to the head, and nothing is read from it",
    (_, of, before) => {
      const measured = sample.measure("before", "after", { before: { landmarks: before }, after: { landmarks: of } });
      nothingCompared(measured, /of the lower arch|on the after scan/);
      const [said] = warned(measured.readings, "right-and-left");
      expect(said).toMatch(/cusps point to the head: .* of the lower arch\? Correct the numbers/);
      expect(measured.readings.halves).toMatchObject({ state: "withheld", reason: { text: said!.replace(/\.$/, "") } });
    },
  );

  test("with landmarks of the upper scan: they lie off its surface, and that is the reason", () => {
    const { readings } = sample.measure("before", "after", { before: fan.before!, after: fan.after! });
    expect(readings.halves).toMatchObject({
      state: "withheld",
      reason: { text: expect.stringMatching(/landmarks lie off its surface$/) },
    });
    expect(readings.widths.every(({ change }) => change.state === "withheld")).toBe(true);
  });
});

describe("right and left exchanged", () => {
  const sample = new SampleCase("fan");
  beforeAll(async () => {
    await sample.open("before");
    await sample.open("after");
  });
  const exchanged = (name: string) => ({ landmarks: onOtherSide(fan[name]!.landmarks) });

  test.each([
    ["after", { before: fan.before!, after: exchanged("after") }],
    ["before", { before: exchanged("before"), after: { landmarks: [] } }],
    ["before", { before: exchanged("before"), after: exchanged("after") }],
    [
      "after",
      {
        before: { landmarks: fourCusps(fan.before!.landmarks) },
        after: { landmarks: onOtherSide(fourCusps(fan.after!.landmarks)) },
      },
    ],
  ])("on the %s scan: its landmarks are not used, and nothing is read from them", (name, landmarks) => {
    const measured = sample.measure("before", "after", landmarks);
    nothingCompared(measured, /right and left have been exchanged|on the (before|after) scan/);
    const text = expect.stringMatching(/cusps point to the head: have right and left been exchanged.* Correct/);
    expect(warned(measured.readings, "right-and-left")).toContainEqual(text);
    expect(measured.readings.halves).toMatchObject({ state: "withheld", reason: { text } });
    const used = measured.readings.landmarks.filter(({ timepoint, tooth }) => timepoint === name && tooth !== null);
    expect(used).toEqual([]);
  });

  test.each([
    ["after", { before: fan.before!, after: { landmarks: onOtherSide(fan.after!.landmarks, (t) => t % 10 === 6) } }],
    ["before", { before: { landmarks: onOtherSide(fan.before!.landmarks, (t) => t % 10 === 6) }, after: fan.after! }],
  ])("of the first molars alone on the %s scan: said, theirs are withheld, the others stand", (name, landmarks) => {
    const { readings } = sample.measure("before", "after", landmarks);
    expect(warned(readings, "right-and-left")).toEqual([
      expect.stringMatching(
        new RegExp(
          `^On the ${name} scan the landmarks of 26 on the right and 16 on the left side|^On the ${name} scan the landmarks of 16 on the left and 26 on the right side`,
        ),
      ),
    ]);
    for (const { pair, change } of readings.widths) {
      expect(change.state, pair).toBe(pair === "6-6" ? "withheld" : "given");
    }
    expect(readings.halves.state).toBe("given");
    const used = readings.landmarks.filter(({ timepoint, tooth }) => timepoint === name && tooth! % 10 === 6);
    expect(used).toEqual([]);
    expect(readings.crowns.filter(({ motion }) => motion.state === "given").length).toBeGreaterThanOrEqual(12);
  });
});
