import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { CONFORMANCE_FILES, SHEET } from "./conformance-files";
import { boundsOf, canonical, READERS, type ReaderName } from "./independent-readers";
import { read, soupOf } from "./scan-files";

// Some of the readers talk.
beforeEach(() => {
  for (const method of ["log", "warn", "error"] as const) vi.spyOn(console, method).mockImplementation(() => {});
});
afterEach(() => {
  vi.restoreAllMocks();
});

describe("a table of small files, each with the independent readers that agree with ours", () => {
  it.each(CONFORMANCE_FILES)("$what: $alsoReadBy", async ({ kind, bytes, alsoReadBy, notAsked = [], what }) => {
    const ours = soupOf(await read(bytes));
    // Some files hold whole numbers only, where the sheet has halves.
    const sheet = /coordinates in/.test(what)
      ? SHEET.map((t) => t.map((value, i) => (i % 3 === 2 ? 2 * value : value)))
      : SHEET;
    expect(canonical(ours)).toEqual(canonical(sheet));
    const agreeing: ReaderName[] = [];
    for (const [name, reader] of Object.entries(READERS[kind])) {
      if (notAsked.includes(name as ReaderName)) continue;
      const theirs = await Promise.resolve()
        .then(() => reader(bytes))
        .catch(() => []);
      if (JSON.stringify(canonical(theirs)) !== JSON.stringify(canonical(ours))) continue;
      expect(boundsOf(theirs)).toEqual(boundsOf(ours));
      agreeing.push(name as ReaderName);
    }
    expect(agreeing.sort()).toEqual([...alsoReadBy].sort());
  });
});
