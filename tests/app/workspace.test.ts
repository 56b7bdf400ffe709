import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import type { Page } from "@playwright/test";
import { choosing, drop, openSample, picture, row, sized, verdict } from "./page-steps";
import { expect, launchRaphe, ROOT, test as withRaphe } from "./raphe";

// What a clinician does with the page, on the invented samples. Pictures of each step lie in out/screenshots.

const BEFORE = join(ROOT, "sample-meshes/fan/before.stl");
const AFTER = join(ROOT, "sample-meshes/fan/after.ply");

const test = withRaphe.extend<{ folder: string }>({
  // biome-ignore lint/correctness/noEmptyPattern: Playwright reads what a fixture needs from the pattern
  folder: async ({}, use) => {
    const folder = await mkdtemp(join(tmpdir(), "raphe-workspace-"));
    await use(folder);
    await rm(folder, { recursive: true, force: true });
  },
});

/** Middle of a landmark's sign on the stage, in pixels of the window. */
async function signAt(page: Page, name: string): Promise<{ x: number; y: number }> {
  const box = await page.getByRole("button", { name, exact: true }).boundingBox();
  if (box === null) throw new Error(`no sign of the ${name}`);
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

const distanceOf = (a: { x: number; y: number }, b: { x: number; y: number }): number =>
  Math.hypot(a.x - b.x, a.y - b.y);

test("the sample case shows its verdict, its rows explain themselves, and its map of distances has a scale", async ({
  raphe,
}) => {
  const { page } = raphe;
  await sized(raphe, 1600, 1000);
  await picture(page, "1-first-screen");
  await openSample(page, "fan-shaped");
  await expect(verdict(page)).toContainText("fan-shaped, wider in front");
  await expect(page.getByRole("img", { name: /cusp tips: 3–3 .* mm.*fan-shaped/ })).toBeVisible();
  await picture(page, "2-overlay");

  const canines = row(page, "3-3 cusp-tip");
  await canines.getByRole("button", { name: "3–3" }).click();
  await expect(canines).toContainText("Straight distance between the cusp tips of 13 and 23");
  await expect(canines).toContainText(/landmark\s*\d\.\d\d mm/);
  await expect(canines).toContainText(/scanner\s*\d\.\d\d mm/);
  // The values on the stage's plates are those of the row.
  const cells = await canines.locator("td.value").allTextContents();
  expect(await page.locator(".plate text").allTextContents()).toEqual(cells.map((value) => `${value}\u00a0mm`));
  await picture(page, "3-open-row");

  // Up and down go from row to row, and the open row goes along.
  await page.keyboard.press("ArrowDown");
  await expect(row(page, "4-4 cusp-tip").getByRole("button", { name: "4–4" })).toBeFocused();
  await expect(row(page, "4-4 cusp-tip")).toContainText("Straight distance between the buccal cusp tips of 14 and 24");
  await expect(canines).not.toContainText("Straight distance");

  await page.keyboard.press("d");
  await expect(page.getByRole("figure", { name: /Distance scale, −\d.* to \+\d.* mm/ })).toBeVisible();
  await picture(page, "4-distance-map");
  await page.keyboard.press("o");
  await expect(page.getByRole("figure", { name: /Distance scale/ })).toHaveCount(0);

  await page.emulateMedia({ colorScheme: "dark" });
  await page.keyboard.press("2");
  await picture(page, "5-front-dark");
  await page.emulateMedia({ colorScheme: "light" });

  await page.getByRole("button", { name: "compare after" }).click();
  await page.getByRole("button", { name: "compare in retention" }).click();
  await expect(row(page, "3-3 cusp-tip").locator("td.change")).toContainText("\u2212");
  await expect(verdict(page)).not.toContainText("fan");
  await picture(page, "6-in-retention");
});

test("two scans from the dialog: a click near a cusp snaps to it, undo and redo follow, the next one is asked for", async ({
  raphe,
}) => {
  const { page } = raphe;
  await sized(raphe, 1600, 1000);
  await choosing(raphe, BEFORE, AFTER);
  await page.getByRole("button", { name: "Open scans…" }).click();
  await expect(page.getByText("Mark the teeth to be measured.")).toBeVisible();
  await expect(row(page, "6-6 palatal-gingival")).toContainText(
    "needs the palatal gingival point of 16 on the before scan +3 more",
  );
  await picture(page, "7-scans-opened");

  // Where the cusp is seen is learnt from the sample's own landmark, then all is undone.
  await choosing(raphe, join(ROOT, "sample-meshes/fan/marks-fan.json"));
  await page.getByRole("button", { name: "landmarks from a file…", exact: true }).click();
  await expect(verdict(page)).toContainText("fan-shaped");
  await page.locator('[data-row="3-3 cusp-tip"] .row-button').click();
  await page.getByRole("button", { name: "place again the cusp tip of 13 on the before scan" }).click();
  await page.waitForTimeout(500);
  const cusp = await signAt(page, "cusp tip of 13");
  const beside = { x: cusp.x + 5, y: cusp.y + 5 };

  await page.mouse.move(beside.x + 20, beside.y);
  await page.mouse.move(beside.x, beside.y);
  const preview = page.locator(".snap-preview");
  await expect(preview).toHaveAttribute("data-snapped", "true");
  const ringFromCusp = async () => {
    const ring = (await preview.locator(".ring .dot").boundingBox())!;
    return distanceOf({ x: ring.x + ring.width / 2, y: ring.y + ring.height / 2 }, cusp);
  };
  await expect.poll(ringFromCusp, "the ring stands on the cusp, not under the pointer").toBeLessThan(2.5);
  await picture(page, "8-snap");

  const first = row(page, "3-3 cusp-tip").locator("td.value").first();
  const width = await first.textContent();
  await page.mouse.click(beside.x, beside.y);
  await page.keyboard.press("Escape");
  await expect(first).toHaveText(width ?? "", { useInnerText: true });

  // A landmark that is taken away is carried over from the other scan; undo gives it back, redo takes it again.
  const points = row(page, "3-3 cusp-tip").locator(".row-points");
  await page.getByRole("button", { name: "place again the cusp tip of 23 on the before scan" }).click();
  await page.getByRole("button", { name: "cusp tip of 13", exact: true }).click();
  await page.keyboard.press("Delete");
  await expect(points).toContainText("carried over");
  await page.keyboard.press("Control+z");
  await expect(points).not.toContainText("carried over");
  await page.keyboard.press("Control+Shift+z");
  await expect(points).toContainText("carried over");
  await page.keyboard.press("Escape");
  await page.getByRole("button", { name: "place the cusp tip of 13 on the before scan" }).click();
  await expect(page.getByText("Click the cusp tip of 13 on the before scan")).toBeVisible();
  await page.waitForTimeout(500);
  await page.mouse.click(beside.x, beside.y);
  await expect(points).not.toContainText("carried over");
});

test("a bad file is named with what to do, and the good ones still open", async ({ raphe, folder }) => {
  const { page } = raphe;
  await sized(raphe, 1200, 760);
  const letter = join(folder, "letter.stl");
  await writeFile(letter, "Dear colleague, please find enclosed the scan.\n");
  const empty = join(folder, "empty.ply");
  await writeFile(empty, "");
  await drop(page, [folder, letter, empty, BEFORE]);
  const troubles = page.getByRole("list", { name: "What went wrong" });
  await expect(troubles.getByText(/^letter\.stl: this is text/)).toContainText("STL, PLY or OBJ");
  await expect(troubles.getByText(/^empty\.ply: /)).toBeVisible();
  await expect(troubles.getByText(`${basename(folder)}: this is a folder, not a file`)).toBeVisible();
  await expect(page.getByRole("region", { name: /^Stage: the before scan/ })).toBeVisible();
  await expect(page.getByRole("button", { name: "after: open a scan" })).toBeVisible();
  await picture(page, "9-bad-files");
  await troubles.getByRole("button", { name: "put away" }).first().click();
  await expect(troubles.getByRole("listitem")).toHaveCount(2);
});

test("a scan in metres asks for its unit, and the answer gives it its size", async ({ raphe, folder }) => {
  const { page } = raphe;
  const scan = await readFile(BEFORE);
  for (let at = 84; at + 50 <= scan.length; at += 50) {
    for (let k = 12; k < 48; k += 4) scan.writeFloatLE(scan.readFloatLE(at + k) / 1000, at + k);
  }
  const metres = join(folder, "metres.stl");
  await writeFile(metres, scan);
  await drop(page, [metres]);
  const question = page.getByRole("region", { name: "Question about the before scan" });
  await expect(question).toContainText("which no dental arch is");
  await picture(page, "11-unit-question");
  await question.getByRole("button", { name: /^metres \(6\d\.\d mm wide, likely\)/ }).click();
  await expect(question).toHaveCount(0);
  await page.getByRole("button", { name: "before: the scan" }).click();
  await expect(page.getByText(/^6\d\.\d × \d\d\.\d × \d\d\.\d mm$/)).toBeVisible();
});

test("after a crash the case goes on where it stopped, and after its computation broke down as well", async () => {
  const raphe = await launchRaphe();
  const { page } = raphe;
  await openSample(page, "parallel");
  const sentence = await verdict(page).textContent();
  await page.getByRole("textbox", { name: /^case/ }).fill("K-0412");
  await page.keyboard.press("Enter");
  await page.waitForTimeout(600); // longer than saving waits for more
  await expect(page.getByText(/^saved \d\d:\d\d$/)).toBeVisible();
  await raphe.kill();
  const again = await launchRaphe({ profile: raphe.profile });
  await expect(verdict(again.page)).toHaveText(sentence ?? "");
  await expect(again.page.getByRole("textbox", { name: /^case/ })).toHaveValue("K-0412");
  await expect(again.page.getByText("continued where you stopped")).toBeVisible();

  const [worker] = again.page.workers();
  const another = again.page.waitForEvent("worker");
  await worker!.evaluate(() => {
    setTimeout(() => {
      throw new Error("broken for this test");
    });
  });
  await another;
  await expect(verdict(again.page)).toHaveCount(0);
  await expect(verdict(again.page)).toHaveText(sentence ?? "");
  expect(again.problems).toEqual([]);
  expect(await again.close()).toBe(0);
  await rm(raphe.profile, { recursive: true, force: true });
});
