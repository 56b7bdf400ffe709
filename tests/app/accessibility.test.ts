import AxeBuilder from "@axe-core/playwright";
import type { Page } from "@playwright/test";
import { openSample, row, sized, verdict } from "./page-steps";
import { expect, test } from "./raphe";

/** Violations of WCAG 2.2 A and AA and of good practice that axe-core calls serious or critical, with their elements. */
async function violations(page: Page): Promise<string[]> {
  // Legacy mode: the app denies the new windows that axe would open for itself.
  const axe = new AxeBuilder({ page }).setLegacyMode(true).options({ resultTypes: ["violations"] });
  const { violations: found } = await axe.analyze();
  return found
    .filter(({ impact }) => impact === "serious" || impact === "critical")
    .flatMap(({ id, nodes }) => nodes.map((node) => `${id}: ${node.html.slice(0, 160)} ${node.failureSummary}`));
}

test("first screen and workspace have no serious accessibility violation, light and dark", async ({ raphe }) => {
  const { page } = raphe;
  await sized(raphe, 1600, 1000);
  for (const colorScheme of ["light", "dark"] as const) {
    await page.emulateMedia({ colorScheme });
    expect(await violations(page), `first screen, ${colorScheme}`).toEqual([]);
  }
  await openSample(page, "fan-shaped");
  await row(page, "3-3 cusp-tip").getByRole("button", { name: "3–3" }).click();
  for (const fold of await page.locator("details.fold > summary").all()) await fold.click();
  for (const colorScheme of ["light", "dark"] as const) {
    await page.emulateMedia({ colorScheme });
    await page.waitForTimeout(300); // colours have changed over
    expect(await violations(page), `workspace, ${colorScheme}`).toEqual([]);
  }
  await page.keyboard.press("d");
  await expect(page.getByRole("figure", { name: /Distance scale/ })).toBeVisible();
  expect(await violations(page), "distance map, dark").toEqual([]);
  await page.getByRole("button", { name: "place again the cusp tip of 13 on the before scan" }).click();
  expect(await violations(page), "placing a landmark, dark").toEqual([]);
});

test("by the keyboard alone a landmark is placed, its snap finds the cusp, and the appliance is painted and wiped", async ({
  raphe,
}) => {
  const { page } = raphe;
  await sized(raphe, 1600, 1000);
  await openSample(page, "parallel");
  const width = row(page, "3-3 cusp-tip").locator("td.value").first();
  const measured = await width.textContent();
  await row(page, "3-3 cusp-tip").getByRole("button", { name: "3–3" }).focus();
  await page.keyboard.press("Enter");
  const again = page.getByRole("button", { name: "place again the cusp tip of 13 on the before scan" });
  await again.focus();
  await page.keyboard.press("Enter");
  const stage = page.getByRole("region", { name: /^Stage: the before scan, .* arrow keys move the aim/ });
  await expect(stage, "placing gives the stage the keyboard").toBeFocused();
  await page.waitForTimeout(500); // the stage has turned

  const cusp = (await page.getByRole("button", { name: "cusp tip of 13", exact: true }).boundingBox())!;
  const frame = (await stage.boundingBox())!;
  const wanted = { x: cusp.x + cusp.width / 2 - frame.x, y: cusp.y + cusp.height / 2 - frame.y };
  // The landmark is taken away by key: now it is carried over from the other scan.
  await page.getByRole("button", { name: "cusp tip of 13", exact: true }).focus();
  await page.keyboard.press("Enter");
  await page.keyboard.press("Delete");
  await expect(row(page, "3-3 cusp-tip").locator(".row-points")).toContainText("carried over");
  await expect(stage).toBeFocused();

  const aim = page.locator(".aim");
  await page.keyboard.press("ArrowLeft");
  await expect(aim).toBeVisible();
  const stands = async (axis: "x" | "y") => Number(await aim.getAttribute(`data-${axis}`));
  for (const [axis, less, more] of [
    ["x", "ArrowLeft", "ArrowRight"],
    ["y", "ArrowUp", "ArrowDown"],
  ] as const) {
    // Long steps first, then short ones: it stops beside the cusp, within what the snap reaches.
    for (const [step, prefix] of [
      [12, ""],
      [2, "Shift+"],
    ] as const) {
      for (let left = 200; left > 0 && Math.abs(wanted[axis] + 5 - (await stands(axis))) > step / 2 + 0.5; left--) {
        await page.keyboard.press(`${prefix}${wanted[axis] + 5 < (await stands(axis)) ? less : more}`);
      }
    }
  }
  await expect(page.locator(".snap-preview")).toHaveAttribute("data-snapped", "true");
  await page.keyboard.press("Enter");
  await expect(page.getByText(/^Click the cusp tip of 13 on the before scan/)).toHaveCount(0);
  await page.keyboard.press("Escape");
  await expect(verdict(page)).toBeVisible();
  await expect(width).toHaveText(measured ?? "", { useInnerText: true });
  const onCusps = row(page, "3-3 cusp-tip").getByText("highest nearby");
  await expect(onCusps, "all four points of the row were found on their cusps").toHaveCount(4);

  // Without the pointer the brush begins in the middle of the stage, on the palate.
  await page.getByRole("button", { name: "paint what the appliance covers" }).press("Enter");
  const painted = page.getByRole("listitem").filter({ hasText: "not measured on" });
  await expect(page.getByRole("region", { name: /^Stage: .* Enter paints/ })).toBeFocused();
  for (let i = 0; i < 2; i++) await page.keyboard.press("ArrowUp");
  await page.keyboard.press("Enter");
  await expect(painted).toBeVisible();
  await page.keyboard.press("Shift+Enter");
  await expect(painted).toBeHidden();
  await page.keyboard.press("Escape");
  await expect(page.getByRole("button", { name: /^done/ })).toBeHidden();
});
