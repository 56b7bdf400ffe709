import { describe, expect, test } from "vitest";
import { closedSpaces } from "#core/arch/closed-space";
import type { Landmark } from "#core/arch/landmark";
import { spaceAnswered, spaceQuestions } from "#core/case/space-question";
import { NO_DETAILS } from "#core/case/timepoint";

/** Row points of the right side of an invented arch, one crown width after the other along y; mm. */
const mark = (tooth: number, place: Landmark["place"], y: number): Landmark => ({ tooth, place, at: [-20, y, 0] });
const CANINE = mark(13, "cusp-tip", 0);
const FIRST = mark(14, "buccal-cusp-tip", 7.3);
const SECOND = mark(15, "buccal-cusp-tip", 14.4);
const MOLAR = mark(16, "mesiobuccal-cusp-tip", 20.5);
const nearer = (landmark: Landmark, by: number): Landmark => ({
  ...landmark,
  at: [landmark.at[0], landmark.at[1] - by, landmark.at[2]],
});

describe("a space that may be closed", () => {
  test("a tooth that only has no landmark yet is not asked of", () => {
    expect(closedSpaces([CANINE, FIRST, SECOND, MOLAR])).toEqual([]);
    expect(closedSpaces([CANINE, SECOND, MOLAR])).toEqual([]);
    expect(closedSpaces([CANINE, FIRST, MOLAR])).toEqual([]);
    expect(closedSpaces([CANINE, MOLAR])).toEqual([]);
  });

  test("neighbours that stand side by side are, with some crowding or a rest of the gap", () => {
    for (const by of [5, 7, 8.5]) {
      const marks = [CANINE, nearer(SECOND, by), nearer(MOLAR, by)];
      expect(closedSpaces(marks)).toEqual([{ tooth: 14, mesial: 13, distal: 15 }]);
    }
    expect(closedSpaces([CANINE, FIRST, nearer(MOLAR, 6.5)])).toEqual([{ tooth: 15, mesial: 14, distal: 16 }]);
    expect(closedSpaces([CANINE, nearer(SECOND, 2), MOLAR])).toEqual([]);
  });

  test("a deciduous tooth that is marked there fills the space", () => {
    const marks = [CANINE, mark(54, "mesiobuccal-cusp-tip", 5), nearer(SECOND, 7)];
    expect(closedSpaces(marks)).toEqual([]);
  });

  test("it is asked until it is stated, and both answers are kept", () => {
    const scan = { name: "before", landmarks: [CANINE, nearer(SECOND, 7)], details: NO_DETAILS };
    const [question] = spaceQuestions(scan);
    expect(question?.text).toBe(
      "On the before scan 13 and 15 stand side by side and nothing is marked on 14. Was 14 extracted and its space closed?",
    );
    for (const [isClosed, state] of [
      [true, "extracted-space-closed"],
      [false, "present"],
    ] as const) {
      const details = spaceAnswered(scan.details, 14, isClosed);
      expect(details.teeth).toEqual([{ tooth: 14, state }]);
      expect(spaceQuestions({ ...scan, details })).toEqual([]);
    }
  });
});
