import { readFile, rm, writeFile } from "node:fs/promises";
import { join } from "node:path";
import type { Locator, Page } from "@playwright/test";
import { parseMarks } from "#core/arch/marks";
import { choosing, picture, row, sized } from "./page-steps";
import { expect, launchRaphe, ROOT, type RunningRaphe, test } from "./raphe";

// Everything that can be entered of a case and its visits, in the folded rows of the sheet.

const FAN = join(ROOT, "sample-meshes/fan");

const field = (page: Page, label: string): Locator => page.getByRole("textbox", { name: label, exact: true });
const choice = (page: Page, label: string): Locator => page.getByRole("combobox", { name: label, exact: true });
const tooth = (page: Page, row: string, name: string): Locator =>
  page.getByRole("toolbar", { name: row }).getByRole("button", { name });

async function fill(page: Page, label: string, value: string): Promise<void> {
  await field(page, label).fill(value);
  await page.keyboard.press("Enter");
}

/** Unfolds the rows of the case or of a visit. */
async function unfold(page: Page, title: string): Promise<void> {
  const fold = page.locator("details.fold", { has: page.locator(".fold-title", { hasText: title }) }).first();
  if ((await fold.getAttribute("open")) === null) await fold.locator("summary").click();
}

/** The app with the sample's earlier scan alone. */
async function withEarlierScan(): Promise<RunningRaphe> {
  const raphe = await launchRaphe();
  await sized(raphe, 1600, 1000);
  await choosing(raphe, join(FAN, "before.stl"));
  await raphe.page.getByRole("button", { name: "Open scans…" }).click();
  await expect(raphe.page.getByRole("button", { name: "before: the scan" })).toBeVisible();
  return raphe;
}

const FIELDS: readonly (readonly [label: string, value: string])[] = [
  ["case, a code and never a name", "K-0412"],
  ["year of birth", "2014"],
  ["record number of the practice", "R 77"],
  ["month of birth, 1 to 12", "5"],
  ["description of the expander", "four bands"],
  ["whole travel of the screw, millimetres", "10.5"],
  ["turns the screw was opened before it was fitted", "2"],
  ["fan screw, millimetres a turn in front", "0.3"],
  ["fan screw, millimetres a turn at the back", "0.1"],
  ["over-correction wanted, millimetres", "1.5"],
  ["share of the gain expected to be lost, per cent", "20"],
  ["least difference of a fan, millimetres", "0.8"],
  ["scanner's uncertainty at the canines, millimetres", "0.04"],
  ["scanner's uncertainty at the first molars, millimetres", "0.1"],
  ["scanner's local uncertainty, millimetres", "0.01"],
  ["hand's uncertainty of a width, millimetres", "0.2"],
  ["halves that stay are remarked on from this delivered, millimetres", "3"],
];

test("every field is entered in place, can be undone, and is found again after a restart", async () => {
  const raphe = await withEarlierScan();
  const { page } = raphe;
  await page.getByRole("textbox", { name: "date of before" }).fill("2026-03-03");
  await page.keyboard.press("Enter");

  await unfold(page, "case, expander and plan");
  for (const [label, value] of FIELDS) await fill(page, label, value);
  const add = page.getByRole("button", { name: "add a phase of turning" });
  await add.click();
  await fill(page, "turns of phase 1", "26");
  await fill(page, "first day of phase 1", "10 Mar 2026");
  await add.click();
  await fill(page, "turns of phase 2", "2");
  await choice(page, "direction of phase 2").selectOption("closing");
  await add.click();
  await page.getByRole("button", { name: "remove phase 3" }).click();
  await expect(page.locator(".identity-line").getByText("24 net")).toBeVisible();
  await page.getByRole("button", { name: "enter the widening aimed at" }).click();
  await fill(page, "widening aimed at, millimetres", "4.5");
  await choice(page, "pair of teeth of the widening aimed at").selectOption("3-3");
  await choice(page, "level of the widening aimed at").selectOption("palatal-gingival");
  await picture(page, "12-case-unfolded");

  await unfold(page, "before");
  await fill(page, "scanner of before", "make A");
  await choice(page, "appliance on the before scan").selectOption("removed");
  await fill(page, "days between removal and the before scan", "3");
  await fill(page, "teeth of the appliance on the before scan", "16, 26");
  await page.getByRole("checkbox", { name: "fixed appliance active" }).first().check();
  await page.getByRole("checkbox", { name: "uprighting intended" }).first().check();
  // By mouse: present → deciduous; by keys: two to the right, then up through the states from the other end.
  await tooth(page, "teeth on the before scan", "17:").click();
  await page.keyboard.press("ArrowUp");
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("ArrowUp");
  await page.keyboard.press("ArrowUp");
  await expect(tooth(page, "teeth on the before scan", "15: missing")).toBeFocused();
  await expect(tooth(page, "teeth on the before scan", "17: present")).toBeVisible();
  await expect(row(page, "5-5 cusp-tip"), "the row asks no more for a tooth that is not there").toContainText(
    "tooth 15 is missing on the before scan",
  );
  for (let step = 0; step < 3; step++) await tooth(page, "bite of the teeth at before", "24:").click();
  await expect(tooth(page, "bite of the teeth at before", "24: crossbite")).toBeVisible();
  await tooth(page, "bite of the teeth at before", "24:").click();
  await page.keyboard.press("Control+z");
  await expect(tooth(page, "bite of the teeth at before", "24: crossbite")).toBeVisible();
  await expect(page.getByText("3 Mar 2026, 11 years 10 months, missing 15, crossbite 24")).toBeVisible();

  await choosing(raphe, join(FAN, "lower.ply"));
  await page.getByRole("button", { name: "open the lower scan of before" }).click();
  await expect(page.getByText("lower.ply", { exact: true })).toBeVisible();
  await choosing(raphe, join(FAN, "marks-lower.json"));
  await page.getByRole("button", { name: "landmarks of the lower scan of before from a file" }).click();
  await expect(page.getByText(/^\d\d landmarks$/)).toBeVisible();
  await choosing(raphe, join(FAN, "marks-fan.json"));
  await page.getByRole("button", { name: "add a set of landmarks of before placed again" }).click();
  await fill(page, "examiner of set 1 of before", "ab");

  await page.getByRole("button", { name: "add a visit" }).click();
  await unfold(page, "in retention");
  await fill(page, "name of in retention", "one year later");
  await picture(page, "13-visit-unfolded");
  await page.emulateMedia({ colorScheme: "dark" });
  await picture(page, "14-visit-unfolded-dark");

  await page.waitForTimeout(600); // longer than saving waits for more
  await expect(page.getByText(/^saved \d\d:\d\d$/)).toBeVisible();
  await raphe.kill();

  const again = await launchRaphe({ profile: raphe.profile });
  const second = again.page;
  await unfold(second, "case, expander and plan");
  for (const [label, value] of FIELDS) await expect(field(second, label), label).toHaveValue(value);
  await expect(field(second, "turns of phase 1")).toHaveValue("26");
  await expect(field(second, "first day of phase 1")).toHaveValue("10\u00a0Mar\u00a02026");
  await expect(choice(second, "direction of phase 2")).toHaveValue("closing");
  await expect(field(second, "widening aimed at, millimetres")).toHaveValue("4.5");
  await expect(choice(second, "level of the widening aimed at")).toHaveValue("palatal-gingival");
  await unfold(second, "before");
  await expect(field(second, "scanner of before")).toHaveValue("make A");
  await expect(choice(second, "appliance on the before scan")).toHaveValue("removed");
  await expect(field(second, "days between removal and the before scan")).toHaveValue("3");
  await expect(field(second, "teeth of the appliance on the before scan")).toHaveValue("16 26");
  await expect(second.getByRole("checkbox", { name: "uprighting intended" }).first()).toBeChecked();
  await expect(tooth(second, "teeth on the before scan", "15: missing")).toBeVisible();
  await expect(tooth(second, "bite of the teeth at before", "24: crossbite")).toBeVisible();
  await expect(second.getByText("lower.ply", { exact: true })).toBeVisible();
  await expect(choice(second, "unit of the lower scan of before"), "the lower scan was opened again").toHaveValue("mm");
  await expect(field(second, "examiner of set 1 of before")).toHaveValue("ab");
  await expect(second.getByRole("button", { name: "one year later: open a scan" })).toBeVisible();
  expect(again.problems).toEqual([]);
  expect(await again.close()).toBe(0);
  await rm(raphe.profile, { recursive: true, force: true });
});

test("a space that may have closed is asked of; the answer is kept and can be undone", async () => {
  const raphe = await withEarlierScan();
  const { page } = raphe;

  // As if 14 had been extracted and 15 had come forward: what is marked on 14 goes by the name of 15.
  const marks = parseMarks(await readFile(join(FAN, "marks-fan.json"), "utf8"), "marks-fan.json");
  const landmarks = marks.scans.before!.landmarks.flatMap((mark) =>
    mark.tooth === 15 ? [] : [mark.tooth === 14 ? { ...mark, tooth: 15 } : mark],
  );
  const file = join(raphe.profile, "marks.json");
  await writeFile(file, JSON.stringify({ version: 1, scans: { before: { landmarks } } }));
  await choosing(raphe, file);
  await page
    .getByRole("button", { name: /landmarks from a file…/i })
    .first()
    .click();

  const question = page.getByRole("region", { name: "Question about 14 on the before scan" });
  await expect(question).toContainText("13 and 15 stand side by side and nothing is marked on 14");
  await picture(page, "15-space-question");
  await question.getByRole("button", { name: "extracted, space closed" }).click();
  await expect(question).toHaveCount(0);
  await unfold(page, "before");
  await expect(tooth(page, "teeth on the before scan", "14: extracted, space closed")).toBeVisible();
  await page.keyboard.press("Control+z");
  await question.getByRole("button", { name: "14 is there" }).click();
  await expect(question).toHaveCount(0);
  expect(raphe.problems).toEqual([]);
  expect(await raphe.close()).toBe(0);
  await rm(raphe.profile, { recursive: true, force: true });
});
