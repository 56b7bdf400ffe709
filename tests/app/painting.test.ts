import { rm } from "node:fs/promises";
import type { Page } from "@playwright/test";
import { openSample, picture, row, sized, verdict } from "./page-steps";
import { expect, launchRaphe, test } from "./raphe";

/** Draws a line over the stage; places as shares of its width and height. */
async function drag(page: Page, from: readonly [number, number], to: readonly [number, number]): Promise<void> {
  const box = (await page.getByRole("region", { name: /^Stage/ }).boundingBox())!;
  const at = ([x, y]: readonly [number, number]) => [box.x + x * box.width, box.y + y * box.height] as const;
  await page.mouse.move(...at(from));
  await page.mouse.down();
  await page.mouse.move(...at(to), { steps: 6 });
  await page.mouse.up();
}

test("what the appliance covers is painted, undone, done again, and found after a restart", async () => {
  const first = await launchRaphe();
  const { page } = first;
  await sized(first, 1600, 1000);
  await openSample(page, "fan-shaped");
  const paint = page.getByRole("button", { name: "paint what the appliance covers" });
  const legend = page.getByRole("listitem").filter({ hasText: "not measured on" });
  const molars = row(page, "6-6 cusp-tip");
  await paint.click();
  await expect(page.getByRole("status").filter({ hasText: "on the after scan" })).toBeVisible();
  // Over the right molars, where a band may sit.
  await page.keyboard.press("]");
  await page.keyboard.press("]");
  await drag(page, [0.2, 0.55], [0.28, 0.8]);
  await expect(legend).toBeVisible();
  await drag(page, [0.72, 0.8], [0.8, 0.55]);
  await picture(page, "painting-appliance");
  await page.keyboard.press("Control+z");
  await page.keyboard.press("Control+z");
  await expect(legend).toBeHidden();
  await page.keyboard.press("Control+Shift+z");
  await page.keyboard.press("Control+Shift+z");
  await expect(legend).toBeVisible();
  await page.keyboard.press("Escape");
  await expect(molars).toContainText(/appliance covers/);
  await expect(page.getByText(/^saved/i).first()).toBeVisible();
  await picture(page, "painted");
  await page.emulateMedia({ colorScheme: "dark" });
  await picture(page, "painted-dark");
  await page.emulateMedia({ colorScheme: "light" });

  await page.getByRole("button", { name: "paint the reference" }).click();
  await expect(page.getByRole("status").filter({ hasText: "on the before scan" })).toBeVisible();
  await page.getByRole("button", { name: "take the proposed region" }).click();
  await expect(page.getByRole("listitem").filter({ hasText: "registered by" })).toBeVisible();
  await page.getByRole("button", { name: "0.5 mm narrower" }).click();
  await picture(page, "painting-reference");
  await page.keyboard.press("Escape");
  await expect(verdict(page)).toBeVisible();
  expect(await first.close()).toBe(0);

  const second = await launchRaphe({ profile: first.profile });
  await sized(second, 1600, 1000);
  const again = second.page;
  await expect(row(again, "6-6 cusp-tip")).toContainText(/appliance covers/);
  await expect(again.getByRole("listitem").filter({ hasText: "not measured on" })).toBeVisible();
  await again.getByRole("button", { name: "paint the reference" }).click();
  await expect(again.getByRole("listitem").filter({ hasText: "registered by" })).toBeVisible();
  expect([...first.problems, ...second.problems]).toEqual([]);
  expect(await second.close()).toBe(0);
  await rm(first.profile, { recursive: true, force: true });
});
