import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { exportIntoNewFolder } from "../../../src-main/export-folder";
import { failingDisk } from "./failing-disk";

const SHEET = {
  pseudonym: "P-17",
  date: "2024-05-01",
  files: [
    { name: "sheet.pdf", bytes: new Uint8Array([1, 2, 3, 4]) },
    { name: "readings.csv", bytes: new Uint8Array([5, 6]) },
  ],
};
const NAME = "raphe-P-17-2024-05-01";

let parent: string;
beforeEach(async () => {
  parent = await mkdtemp(join(tmpdir(), "raphe-export-"));
});
afterEach(() => rm(parent, { recursive: true, force: true }));

describe("an exported sheet", () => {
  test("lies in a new folder named by pseudonym and date", async () => {
    expect((await exportIntoNewFolder(parent, SHEET)).folder).toBe(NAME);
    expect(await readdir(join(parent, NAME))).toEqual(["readings.csv", "sheet.pdf"]);
    expect([...(await readFile(join(parent, NAME, "sheet.pdf")))]).toEqual([1, 2, 3, 4]);
  });

  test("takes the next free name where folders or files of that name are there, and leaves them alone", async () => {
    await mkdir(join(parent, NAME));
    await writeFile(join(parent, `${NAME}-2`), "a file");
    expect((await exportIntoNewFolder(parent, SHEET)).folder).toBe(`${NAME}-3`);
    expect(await readdir(join(parent, NAME))).toEqual([]);
    expect(await readFile(join(parent, `${NAME}-2`), "utf8")).toBe("a file");
  });

  test("of a pseudonym without letters or digits is named 'case'", async () => {
    expect((await exportIntoNewFolder(parent, { ...SHEET, pseudonym: "../.." })).folder).toBe("raphe-case-2024-05-01");
  });

  test.each(["power-cut", "ENOSPC"] as const)("is there complete or not at all after a %s at any step", async (how) => {
    const count = failingDisk(Number.POSITIVE_INFINITY, how);
    const rehearsal = join(parent, "rehearsal");
    await mkdir(rehearsal);
    await exportIntoNewFolder(rehearsal, SHEET, count);
    for (let at = 1; at <= count.steps; at++) {
      const here = join(parent, `${at}`);
      await mkdir(here);
      await expect(exportIntoNewFolder(here, SHEET, failingDisk(at, how))).rejects.toMatchObject({
        code: "not-writable",
      });
      const visible = (await readdir(here)).filter((name) => !name.startsWith("."));
      if (visible.length > 0) {
        expect(visible).toEqual([NAME]);
        expect([...(await readFile(join(here, NAME, "sheet.pdf")))]).toEqual([1, 2, 3, 4]);
        expect([...(await readFile(join(here, NAME, "readings.csv")))]).toEqual([5, 6]);
      }
      if (how === "ENOSPC") expect((await readdir(here)).filter((name) => name.startsWith("."))).toEqual([]);
    }
  });
});
