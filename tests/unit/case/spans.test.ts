import { expect, test } from "vitest";
import { spanFolders, spansOf } from "#core/case/spans";

test("every timepoint is compared with the first and with the one before it", () => {
  expect(spansOf(["a"])).toEqual([]);
  expect(spansOf(["a", "b"])).toEqual([{ from: "a", to: "b" }]);
  expect(spansOf(["a", "b", "c", "d"])).toEqual([
    { from: "a", to: "b" },
    { from: "a", to: "c" },
    { from: "b", to: "c" },
    { from: "a", to: "d" },
    { from: "c", to: "d" },
  ]);
});

test("folders of spans have safe names, each its own", () => {
  const folders = (...names: string[]) => spanFolders(spansOf(names), names);
  expect(folders("before", "after", "in retention")).toEqual([
    "before-to-after",
    "before-to-in-retention",
    "after-to-in-retention",
  ]);
  expect(folders("../Äh", "¿?", "A/H", "a h")).toEqual([
    "h-to-scan-2",
    "h-to-a-h",
    "scan-2-to-a-h",
    "h-to-a-h-2",
    "a-h-to-a-h-2",
  ]);
});
