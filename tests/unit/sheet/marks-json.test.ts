import { expect, test } from "vitest";
import { emptyCase } from "#core/case/case-document";
import { emptyTimepoint } from "#core/case/timepoint";
import { marksJson } from "#core/sheet/json";
import { inventedReadings } from "./invented-readings";

test("marks.json of a record holds the landmarks of the scan that points were carried from to both", () => {
  const readings = inventedReadings();
  const landmarks = [{ tooth: 13, place: "cusp-tip" as const, at: [1, 2, 3] as [number, number, number] }];
  const document = {
    ...emptyCase(),
    timepoints: [
      { ...emptyTimepoint("start", "before"), landmarks },
      emptyTimepoint("before", "after"),
      emptyTimepoint("after", "retention"),
      { ...emptyTimepoint("later", "retention"), landmarks },
    ],
  };
  const carried = readings.landmarks.map((mark) => ({ ...mark, how: "carried" as const, placedOn: "start" }));
  expect(JSON.parse(marksJson(document, { ...readings, landmarks: carried })).scans).toEqual({ start: { landmarks } });
  expect(JSON.parse(marksJson(document, readings)).scans).toEqual({});
});
