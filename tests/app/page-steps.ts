import { join } from "node:path";
import type { Locator, Page } from "@playwright/test";
import { expect, ROOT, type RunningRaphe } from "./raphe";

/** Steps that several tests take with the page. */

/** Gives the window's page this size, pixels. */
export async function sized({ app }: RunningRaphe, width: number, height: number): Promise<void> {
  await app.evaluate(
    ({ BrowserWindow }, size) => BrowserWindow.getAllWindows()[0]!.setContentSize(size.width, size.height),
    { width, height },
  );
}

/** The sentence at the head of the sheet; there once something has been measured. */
export const verdict = (page: Page): Locator => page.getByRole("region", { name: "Verdict" }).getByRole("heading");

/** A row of the widths by pair and level: '3-3 cusp-tip'. */
export const row = (page: Page, key: string): Locator => page.locator(`[data-row="${key}"]`);

/** Opens a sample and waits until it is measured: the fan-shaped one of four scans, or the parallel one of two. */
export async function openSample(page: Page, which: "fan-shaped" | "parallel"): Promise<void> {
  await page.getByRole("button", { name: new RegExp(`${which} widening`, "i") }).click();
  await expect(verdict(page)).toBeVisible();
}

/** Lets the next open dialogs answer as if the user had chosen these paths. */
export async function choosing({ app }: RunningRaphe, ...paths: string[]): Promise<void> {
  await app.evaluate(({ dialog }, filePaths) => {
    dialog.showOpenDialog = async () => ({ canceled: false, filePaths });
  }, paths);
}

/** Drops files on the window, as from the file manager; `meanwhile` happens while they are held over it. */
export async function drop(page: Page, files: string[], meanwhile = async () => {}): Promise<void> {
  const browser = await page.context().newCDPSession(page);
  for (const type of ["dragEnter", "dragOver", "drop"] as const) {
    if (type === "drop") await meanwhile();
    await browser.send("Input.dispatchDragEvent", {
      type,
      x: 400,
      y: 300,
      data: { items: [], files, dragOperationsMask: 1 },
    });
  }
}

/** A picture of the page in out/screenshots, once its movements have ended. */
export async function picture(page: Page, name: string): Promise<void> {
  await page.waitForTimeout(500);
  await page.screenshot({ path: join(ROOT, `out/screenshots/${name}.png`) });
}
