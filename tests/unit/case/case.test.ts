import { describe, expect, test } from "vitest";
import { parseMarks } from "#core/arch/marks";
import { CaseDocument, emptyCase } from "#core/case/case-document";
import { netTurns } from "#core/case/expander";
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

  test("exchanging two scans takes their landmarks along; the dates stay with the visits", () => {
    let history = beginHistory(emptyCase());
    history = act(history, { do: "set-date", timepoint: "before", date: "2026-03-03" });
    history = act(history, { do: "set-date", timepoint: "after", date: "2026-05-28" });
    history = act(history, { do: "attach-scan", timepoint: "before", scan });
    history = act(history, { do: "place-landmark", timepoint: "before", landmark: tip(1) });
    history = act(history, { do: "exchange-scans", first: "before", second: "after" });
    const [before, after] = history.now.timepoints;
    expect(before).toMatchObject({ name: "before", scan: null, landmarks: [], date: "2026-03-03" });
    expect(after).toMatchObject({ name: "after", scan, landmarks: [tip(1)], date: "2026-05-28" });
  });

  test("another unit moves the landmarks with their surface, and one step back undoes both", () => {
    let history = beginHistory(emptyCase());
    history = act(history, { do: "attach-scan", timepoint: "before", scan });
    history = act(history, { do: "place-landmark", timepoint: "before", landmark: tip(0.0125) });
    const asMillimetres = history.now;
    history = act(history, { do: "set-unit", timepoint: "before", unit: "m" });
    expect(history.now.timepoints[0]).toMatchObject({ scan: { ...scan, unit: "m" }, landmarks: [tip(12.5)] });
    expect(undo(history).now).toBe(asMillimetres);
    expect(act(history, { do: "set-unit", timepoint: "before", unit: "m" })).toBe(history);
    expect(act(history, { do: "set-unit", timepoint: "after", unit: "m" })).toBe(history);
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

describe("what belongs to a scan's surface", () => {
  const painted = { sha256: "c".repeat(64), triangles: 10 };

  test("painted areas and repeat sets go with a scan that is replaced, and with one that is exchanged", () => {
    let history = beginHistory(emptyCase());
    history = act(history, { do: "attach-scan", timepoint: "before", scan });
    history = act(history, { do: "paint", timepoint: "before", area: "appliance", painted });
    history = act(history, {
      do: "set-repeats",
      timepoint: "before",
      repeats: [{ examiner: "A", landmarks: [tip(1)] }],
    });
    const exchanged = act(history, { do: "exchange-scans", first: "before", second: "after" }).now;
    expect(exchanged.timepoints[0]).toMatchObject({ appliancePainted: null, repeats: [] });
    expect(exchanged.timepoints[1]).toMatchObject({ appliancePainted: painted });
    expect(exchanged.timepoints[1]!.repeats).toHaveLength(1);
    const replaced = act(history, {
      do: "attach-scan",
      timepoint: "before",
      scan: { ...scan, sha256: "d".repeat(64) },
    });
    expect(replaced.now.timepoints[0]).toMatchObject({ appliancePainted: null, repeats: [] });
  });

  test("turns of opening and closing phases make the net turns", () => {
    const phase = (direction: "opening" | "closing", turns: number) => ({ direction, turns, from: null, to: null });
    expect(netTurns({ phases: [] })).toBeNull();
    expect(netTurns({ phases: [phase("opening", 20), phase("closing", 6), phase("opening", 10)] })).toBe(24);
  });
});
