import { describe, expect, test } from "vitest";
import { parseMarks } from "#core/arch/marks";
import { CaseDocument, emptyCase } from "#core/case/case-document";
import { act, beginHistory, redo, undo } from "#core/case/history";

const scan = { sha256: "a".repeat(64), fileName: "x.stl", unit: "mm" as const };
const tip = (x: number) => ({ tooth: 13, place: "cusp-tip" as const, at: [x, 0, 0] as [number, number, number] });

describe("the case", () => {
  test("undo brings back what an action replaced, redo does it again", () => {
    let history = beginHistory(emptyCase());
    history = act(history, { do: "attach-scan", timepoint: "before", scan });
    history = act(history, { do: "place-landmark", timepoint: "before", landmark: tip(1) });
    history = act(history, { do: "place-landmark", timepoint: "before", landmark: tip(2) });
    expect(history.now.timepoints[0]!.landmarks).toEqual([tip(2)]);
    expect(undo(history).now.timepoints[0]!.landmarks).toEqual([tip(1)]);
    expect(redo(undo(history)).now).toBe(history.now);
  });

  test("a new scan drops the landmarks of the old one, and undo brings both back", () => {
    let history = beginHistory(emptyCase());
    history = act(history, { do: "attach-scan", timepoint: "before", scan });
    history = act(history, { do: "place-landmark", timepoint: "before", landmark: tip(1) });
    history = act(history, { do: "attach-scan", timepoint: "before", scan: { ...scan, sha256: "b".repeat(64) } });
    expect(history.now.timepoints[0]!.landmarks).toEqual([]);
    expect(undo(history).now.timepoints[0]!.landmarks).toEqual([tip(1)]);
  });

  test("raphe landmarks add up; other places are single", () => {
    let history = beginHistory(emptyCase());
    for (const y of [1, 2, 3]) {
      history = act(history, {
        do: "place-landmark",
        timepoint: "after",
        landmark: { place: "median-raphe", at: [0, y, 0] },
      });
    }
    expect(history.now.timepoints[1]!.landmarks).toHaveLength(3);
  });

  test("exchanging two scans takes their landmarks along", () => {
    let history = beginHistory(emptyCase());
    history = act(history, { do: "attach-scan", timepoint: "before", scan });
    history = act(history, { do: "place-landmark", timepoint: "before", landmark: tip(1) });
    history = act(history, { do: "exchange-scans", first: "before", second: "after" });
    expect(history.now.timepoints.map((t) => [t.name, t.scan?.sha256[0] ?? null, t.landmarks.length])).toEqual([
      ["before", null, 0],
      ["after", "a", 1],
    ]);
  });

  test("an action on an unknown timepoint changes nothing and leaves no step", () => {
    const history = beginHistory(emptyCase());
    expect(act(history, { do: "place-landmark", timepoint: "nowhere", landmark: tip(1) })).toBe(history);
  });

  test("every case passes its own schema", () => {
    expect(CaseDocument.parse(emptyCase())).toEqual(emptyCase());
  });
});

describe("marks.json", () => {
  const text = (landmarks: unknown) => JSON.stringify({ version: 1, scans: { before: { landmarks } } });

  test("reads landmarks of any timepoint", () => {
    expect(
      parseMarks(text([tip(1), { place: "median-raphe", at: [0, 1, 2] }]), "m.json").scans.before!.landmarks,
    ).toHaveLength(2);
  });

  test.each([
    ["text that is not JSON", "solid ascii", "not JSON"],
    [
      "a place that a tooth does not have",
      text([{ tooth: 13, place: "central-fossa", at: [0, 0, 0] }]),
      "tooth 13 has no central-fossa",
    ],
    ["a tooth number outside ISO 3950", text([{ tooth: 19, place: "palatal-gingival", at: [0, 0, 0] }]), "ISO 3950"],
    ["a tooth place without a tooth", text([{ place: "cusp-tip", at: [0, 0, 0] }]), "needs a tooth number"],
    ["a palate place with a tooth", text([{ tooth: 16, place: "median-raphe", at: [0, 0, 0] }]), "belongs to no tooth"],
    [
      "a point that is no number",
      text([{ tooth: 13, place: "cusp-tip", at: [0, null, 0] }]),
      "scans → before → landmarks → 0 → at → 1",
    ],
  ])("refuses %s and says where", (_, content, words) => {
    expect(() => parseMarks(content, "m.json")).toThrowError(new RegExp(words.replaceAll("→", "→")));
  });
});
