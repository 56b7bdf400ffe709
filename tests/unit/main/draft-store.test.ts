import { mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { type Draft, DraftStore } from "../../../src-main/draft-store";
import { failingDisk } from "./failing-disk";

const BEFORE: Draft = { caseId: "case-1", text: '{"step":1}', scans: [{ key: "before", path: "/scans/b.stl" }] };
const AFTER: Draft = { ...BEFORE, text: '{"step":2}' };
const OTHER: Draft = { caseId: "case-2", text: '{"step":0}', scans: [] };

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "raphe-draft-store-"));
});
afterEach(() => rm(folder, { recursive: true, force: true }));

const loaded = async () => (await new DraftStore(folder).load())?.draft ?? null;

describe("the draft of a case", () => {
  test("there is none before the first save", async () => {
    expect(await loaded()).toBeNull();
  });

  test("is found again as it was saved last", async () => {
    const store = new DraftStore(folder);
    await Promise.all([store.save(BEFORE), store.save(AFTER)]);
    expect(await loaded()).toEqual(AFTER);
  });

  test.each([
    ["of the same case", AFTER],
    ["of another case", OTHER],
  ])("a power cut at any step of a save %s leaves the state before or the new one, whole", async (_which, next) => {
    const count = failingDisk(Number.POSITIVE_INFINITY, "power-cut");
    const rehearsal = join(folder, "rehearsal");
    await new DraftStore(rehearsal).save(BEFORE);
    await new DraftStore(rehearsal, count).save(next);
    expect(count.steps).toBeGreaterThan(8);
    const states = new Set<string>();
    for (let at = 1; at <= count.steps; at++) {
      const here = join(folder, `cut-${at}`);
      await new DraftStore(here).save({ ...BEFORE, text: '{"step":0}' });
      await new DraftStore(here).save(BEFORE);
      await expect(new DraftStore(here, failingDisk(at, "power-cut")).save(next)).rejects.toThrow();
      const found = await new DraftStore(here).load();
      expect([BEFORE, next], `cut at step ${at}`).toContainEqual(found?.draft);
      expect(found?.olderState).toBe(false);
      states.add(found!.draft.text);
      await new DraftStore(here).save({ ...next, text: '{"step":3}' });
      expect((await new DraftStore(here).load())?.draft.text).toBe('{"step":3}');
    }
    expect(states).toEqual(new Set([BEFORE.text, next.text]));
  });

  test.each(["ENOSPC", "EIO"] as const)(
    "%s at any step is told, loses nothing and can be tried again",
    async (code) => {
      const count = failingDisk(Number.POSITIVE_INFINITY, code);
      await new DraftStore(join(folder, "rehearsal"), count).save(BEFORE);
      for (let at = 1; at <= count.steps; at++) {
        const here = join(folder, `fail-${at}`);
        await new DraftStore(here).save(BEFORE);
        const store = new DraftStore(here, failingDisk(at, code));
        const error = await store.save(AFTER).then(
          () => null,
          (thrown) => thrown,
        );
        expect(["not-writable", "not-readable"], `failure at step ${at}`).toContain(error?.code);
        expect([BEFORE, AFTER]).toContainEqual((await store.load())?.draft);
        await store.save(AFTER);
        expect((await new DraftStore(here).load())?.draft).toEqual(AFTER);
      }
    },
  );

  test("a full disk is named as such", async () => {
    const store = new DraftStore(folder, failingDisk(4, "ENOSPC"));
    await expect(store.save(BEFORE)).rejects.toMatchObject({ code: "not-writable", problem: "the disk is full" });
  });

  test("that cannot be read is kept aside, and the last good state before it is found", async () => {
    const store = new DraftStore(folder);
    await store.save(BEFORE);
    await store.save(AFTER);
    await writeFile(join(folder, "draft.json"), '{"format":1,"caseId":"ca');
    const reopened = new DraftStore(folder);
    expect(await reopened.load()).toMatchObject({ draft: BEFORE, olderState: true });
    await reopened.save(AFTER);
    expect(await readFile(join(folder, "unreadable-1.json"), "utf8")).toBe('{"format":1,"caseId":"ca');
    expect(await loaded()).toEqual(AFTER);
  });

  test("of a later version of the app is kept aside, not overwritten", async () => {
    const later = JSON.stringify({ format: 2, something: "new" });
    const store = new DraftStore(folder);
    await store.save(BEFORE);
    await writeFile(join(folder, "draft.json"), later);
    await new DraftStore(folder).save(OTHER);
    expect(await readFile(join(folder, "unreadable-1.json"), "utf8")).toBe(later);
  });

  test("of another case is kept when a new case begins", async () => {
    const store = new DraftStore(folder);
    await store.save(BEFORE);
    await store.save(OTHER);
    await store.save(AFTER);
    expect((await readdir(folder)).filter((name) => name.startsWith("earlier"))).toEqual([
      "earlier-case-1.json",
      "earlier-case-2.json",
    ]);
    expect(JSON.parse(await readFile(join(folder, "earlier-case-1.json"), "utf8"))).toMatchObject(BEFORE);
  });

  test("remembers where a scan lies that is not named for now, and forgets nothing of those that are", async () => {
    const store = new DraftStore(folder);
    await store.save(BEFORE);
    await store.save({ ...BEFORE, scans: [{ key: "after", path: "/scans/a.stl" }] });
    expect((await loaded())?.scans).toEqual([
      { key: "after", path: "/scans/a.stl" },
      { key: "before", path: "/scans/b.stl" },
    ]);
    await store.save({ ...BEFORE, scans: [{ key: "before", path: "/moved/b.stl" }] });
    expect((await loaded())?.scans[0]).toEqual({ key: "before", path: "/moved/b.stl" });
  });
});
