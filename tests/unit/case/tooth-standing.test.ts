import { describe, expect, test } from "vitest";
import type { Place } from "#core/arch/landmark";
import { emptyTimepoint, NO_DETAILS, type Timepoint, type ToothState } from "#core/case/timepoint";
import { teethAway } from "#core/case/tooth-standing";

const visit = (name: string, states: Record<number, ToothState>, marked: [number, Place][] = []): Timepoint => ({
  ...emptyTimepoint(name, "before"),
  details: { ...NO_DETAILS, teeth: Object.entries(states).map(([tooth, state]) => ({ tooth: Number(tooth), state })) },
  landmarks: marked.map(([tooth, place]) => ({ tooth, place, at: [0, 0, 0] })),
});

/** The teeth that are away at each visit. */
const away = (...timepoints: Timepoint[]) =>
  timepoints.map((timepoint) => Object.fromEntries(teethAway({ timepoints }, timepoint).map((t) => [t.tooth, t.why])));

describe("which teeth stand on a scan", () => {
  test("all of them where nothing is stated and nothing marked", () => {
    expect(away(visit("before", {}))).toEqual([{}]);
  });

  test("a missing tooth and one whose space was closed, in words", () => {
    const timepoint = visit("after", { 15: "missing", 14: "extracted-space-closed", 23: "erupting" });
    expect(teethAway({ timepoints: [timepoint] }, timepoint).map(({ text }) => text)).toEqual([
      "tooth 14 was extracted and its space is closed on the after scan",
      "tooth 15 is missing on the after scan",
      "tooth 54 is missing on the after scan",
      "tooth 55 is missing on the after scan",
      "tooth 63 has exfoliated on the after scan, 23 stands there",
    ]);
  });

  test("deciduous: the predecessor stands, the successor not yet; at another visit the other way round", () => {
    expect(away(visit("before", { 13: "deciduous" }), visit("after", {}))).toEqual([
      { 13: "exchanged" },
      { 53: "exchanged" },
    ]);
    const [, after] = [visit("before", { 13: "deciduous" }), visit("after", {})];
    expect(teethAway({ timepoints: [visit("before", { 13: "deciduous" }), after] }, after)[0]!.text).toBe(
      "tooth 53 has exfoliated on the after scan, 13 stands there",
    );
  });

  test("where nothing is stated the landmarks tell which of the two stands", () => {
    expect(away(visit("before", {}, [[53, "cusp-tip"]]), visit("after", {}, [[13, "cusp-tip"]]))).toEqual([
      { 13: "exchanged" },
      { 53: "exchanged" },
    ]);
    expect(
      away(
        visit("before", {}, [
          [53, "cusp-tip"],
          [13, "cusp-tip"],
        ]),
      ),
    ).toEqual([{}]);
  });
});
