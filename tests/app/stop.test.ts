import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { drop } from "./page-steps";
import { expect, ROOT, test } from "./raphe";

/** A binary STL with each triangle cut into nine of the same surface. */
function cutIntoNine(scan: Buffer): Buffer {
  const count = scan.readUInt32LE(80);
  const finer = Buffer.alloc(84 + 9 * count * 50);
  finer.writeUInt32LE(9 * count, 80);
  let end = 84;
  for (let t = 0; t < count; t++) {
    const [a, b, c] = [0, 1, 2].map((corner) =>
      [0, 1, 2].map((axis) => scan.readFloatLE(84 + 50 * t + 12 + 12 * corner + 4 * axis)),
    ) as [number[], number[], number[]];
    // Grid points i/3, j/3 of the triangle, always computed the same way so that neighbours meet.
    const at = (i: number, j: number) => a.map((v, k) => v + (i * (b[k]! - v) + j * (c[k]! - v)) / 3);
    for (let i = 0; i < 3; i++) {
      for (let j = 0; i + j < 3; j++) {
        const cut = [[at(i, j), at(i + 1, j), at(i, j + 1)]];
        if (i + j < 2) cut.push([at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)]);
        for (const corners of cut) {
          corners.flat().forEach((value, n) => void finer.writeFloatLE(value, end + 12 + 4 * n));
          end += 50;
        }
      }
    }
  }
  return finer;
}

test("opening a large scan can be stopped, the window answers meanwhile, and the next scan opens", async ({
  raphe,
}) => {
  const { page } = raphe;
  const folder = await mkdtemp(join(tmpdir(), "raphe-large-"));
  const before = join(ROOT, "sample-meshes/fan/before.stl");
  const large = join(folder, "large.stl");
  const finer = cutIntoNine(await readFile(before));
  expect(finer.readUInt32LE(80)).toBeGreaterThan(500_000);
  await writeFile(large, finer);

  await drop(page, [large]);
  const work = page.getByRole("progressbar", { name: "Opening large.stl" });
  await expect(work).toBeVisible();
  // The page draws and takes input while the scan is being opened: all this happens before the work is done.
  await page.evaluate(async () => {
    for (let frames = 0; frames < 10; frames++) await new Promise((drawn) => requestAnimationFrame(drawn));
  });
  await page.keyboard.press("Tab");
  await expect(page.locator(":focus")).toHaveCount(1);
  expect(await work.isVisible(), "the scan is still being opened").toBe(true);
  await page.getByRole("button", { name: "Stop" }).click();
  await expect(work).toHaveCount(0);
  await expect(page.getByRole("list", { name: "What went wrong" })).toHaveCount(0);
  await expect(page.getByRole("button", { name: "Open scans…" })).toBeVisible();

  await drop(page, [before]);
  await expect(page.getByRole("region", { name: /^Stage: the before scan/ })).toBeVisible();
  await page.getByRole("button", { name: "before: the scan" }).click();
  await expect(page.getByRole("heading", { name: "before.stl" })).toBeVisible();
  await rm(folder, { recursive: true, force: true });
});
