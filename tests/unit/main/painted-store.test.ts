import { createHash } from "node:crypto";
import { mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import type { PaintedFile } from "#core/scan/painted-file";
import { type Draft, DraftStore } from "../../../src-main/draft-store";
import { PaintedStore } from "../../../src-main/painted-store";
import { failingDisk } from "./failing-disk";

function area(...bytes: number[]): PaintedFile {
  const bits = Uint8Array.from(bytes);
  return { sha256: createHash("sha256").update(bits).digest("hex"), triangles: 8 * bytes.length, bits };
}

const ONE = area(1, 2, 3, 4);
const TWO = area(5, 6, 7, 8);
const NAMES_NONE: Draft = { caseId: "case-1", text: "{}", scans: [] };
const NAMES_TWO: Draft = { ...NAMES_NONE, text: JSON.stringify({ names: TWO.sha256 }) };

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "raphe-painted-store-"));
});
afterEach(() => rm(folder, { recursive: true, force: true }));

describe("bits of painted areas", () => {
  test("come back as they were saved, each under its hash", async () => {
    const store = new PaintedStore(folder);
    await Promise.all([store.save(ONE), store.save(TWO), store.save(ONE)]);
    expect((await readdir(folder)).sort()).toEqual([`${ONE.sha256}.bits`, `${TWO.sha256}.bits`].sort());
    const reopened = new PaintedStore(folder);
    expect(await reopened.load(ONE)).toEqual(ONE.bits);
    expect(await reopened.load(TWO)).toEqual(TWO.bits);
  });

  test("are refused where hash or size do not fit", async () => {
    const store = new PaintedStore(folder);
    await expect(store.save({ ...ONE, sha256: TWO.sha256 })).rejects.toMatchObject({ code: "malformed" });
    await expect(store.save({ ...ONE, triangles: 33 })).rejects.toMatchObject({ code: "malformed" });
    await expect(store.save({ ...ONE, triangles: 20_000_001 })).rejects.toMatchObject({ code: "too-large" });
    expect(await readdir(folder)).toEqual([]);
  });

  test("that were changed on the disk, or are gone, are told and not given", async () => {
    const store = new PaintedStore(folder);
    await store.save(ONE);
    await writeFile(join(folder, `${ONE.sha256}.bits`), Uint8Array.of(1, 2, 3, 5));
    await expect(new PaintedStore(folder).load(ONE)).rejects.toMatchObject({ code: "malformed" });
    await expect(new PaintedStore(folder).load(TWO)).rejects.toMatchObject({ code: "file-missing" });
  });
});

describe("a draft that names painted bits", () => {
  /** Saves the second area and the draft that names it, as the app does: both are asked for at once. */
  const attempt = async (painted: PaintedStore, drafts: DraftStore) => {
    const bits = painted.save(TWO);
    const draft = drafts.save(NAMES_TWO, () => painted.require([TWO.sha256]));
    return (await Promise.allSettled([bits, draft])).map(({ status }) => status === "fulfilled");
  };
  const paintedIn = (here: string) => join(here, "painted");

  test("is only there when the bits are, wherever the power is cut", async () => {
    const rehearsal = failingDisk(Number.POSITIVE_INFINITY, "power-cut");
    await new DraftStore(join(folder, "rehearsal")).save(NAMES_NONE);
    const stores = (here: string, disk: ReturnType<typeof failingDisk>) =>
      [new PaintedStore(paintedIn(here), disk), new DraftStore(here, disk)] as const;
    expect(await attempt(...stores(join(folder, "rehearsal"), rehearsal))).toEqual([true, true]);
    const found = new Set<string>();
    for (let at = 1; at <= rehearsal.steps; at++) {
      const here = join(folder, `cut-${at}`);
      await new DraftStore(here).save(NAMES_NONE);
      await new PaintedStore(paintedIn(here)).save(ONE);
      await attempt(...stores(here, failingDisk(at, "power-cut")));
      const { draft } = (await new DraftStore(here).load())!;
      found.add(draft.text);
      if (draft.text === NAMES_TWO.text) expect(await new PaintedStore(paintedIn(here)).load(TWO)).toEqual(TWO.bits);
      // What was there before is never lost, and saving goes on.
      expect(await new PaintedStore(paintedIn(here)).load(ONE)).toEqual(ONE.bits);
      expect(await attempt(new PaintedStore(paintedIn(here)), new DraftStore(here))).toEqual([true, true]);
      expect(await new PaintedStore(paintedIn(here)).load(TWO)).toEqual(TWO.bits);
    }
    expect(found).toEqual(new Set([NAMES_NONE.text, NAMES_TWO.text]));
  });

  test.each(["ENOSPC", "EIO"] as const)(
    "is not saved where the bits meet %s, and both can be tried again",
    async (code) => {
      const count = failingDisk(Number.POSITIVE_INFINITY, code);
      await new PaintedStore(paintedIn(join(folder, "rehearsal")), count).save(TWO);
      for (let at = 1; at <= count.steps; at++) {
        const here = join(folder, `fail-${at}`);
        const drafts = new DraftStore(here);
        await drafts.save(NAMES_NONE);
        const painted = new PaintedStore(paintedIn(here), failingDisk(at, code));
        expect(await attempt(painted, drafts), `failure at step ${at}`).toEqual([false, false]);
        expect((await new DraftStore(here).load())?.draft).toEqual(NAMES_NONE);
        expect(await attempt(painted, drafts)).toEqual([true, true]);
        expect(Array.from(await readFile(join(paintedIn(here), `${TWO.sha256}.bits`)))).toEqual(Array.from(TWO.bits));
      }
    },
  );
});
