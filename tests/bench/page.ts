import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { writeStl } from "#core/scan/write-stl";
import globalSetup from "../app/global-setup";
import { launchRaphe } from "../app/raphe";
import type { BenchRow } from "./bench-row";
import { hills } from "./invented-scans";

const TRIANGLES = 500_000;

/**
 * The longest gap of a timer on the page's main thread while a scan is opened in the app: how long a click would wait.
 * The stage is hidden, as a PC without a graphics card takes its time to draw.
 */
export async function benchPage(): Promise<BenchRow[]> {
  const stop = await globalSetup();
  const folder = await mkdtemp(join(tmpdir(), "raphe-bench-"));
  const file = join(folder, "scan.stl");
  await writeFile(file, writeStl(hills(TRIANGLES), "invented"));
  const raphe = await launchRaphe();
  try {
    const { page } = raphe;
    await page.evaluate(() => {
      const hiding = new CSSStyleSheet();
      hiding.replaceSync(".stage { display: none !important; }");
      document.adoptedStyleSheets.push(hiding);
      const gaps = { longest: 0, ticks: 0 };
      Object.assign(window, { gaps });
      let last = performance.now();
      setInterval(() => {
        const now = performance.now();
        gaps.longest = Math.max(gaps.longest, now - last);
        gaps.ticks++;
        last = now;
      }, 1);
    });
    const gaps = (): Promise<{ longest: number; ticks: number }> => page.evaluate(() => Reflect.get(window, "gaps"));
    await page.waitForTimeout(1000);
    const atRest = await gaps();
    await page.evaluate(() => Object.assign(Reflect.get(window, "gaps"), { longest: 0, ticks: 0 }));
    const browser = await page.context().newCDPSession(page);
    for (const type of ["dragEnter", "dragOver", "drop"] as const) {
      const data = { items: [], files: [file], dragOperationsMask: 1 };
      await browser.send("Input.dispatchDragEvent", { type, x: 400, y: 300, data });
    }
    await page.getByRole("button", { name: "before: the scan" }).waitFor();
    // What follows the opening: the page lays itself out anew, the measurement says what it misses.
    await page.waitForTimeout(1500);
    const loading = await gaps();
    return [
      {
        task:
          `longest gap of a timer on the page's main thread while ${TRIANGLES} triangles are opened, stage hidden ` +
          `(${loading.ticks} ticks; at rest ${atRest.longest.toFixed(1)} ms)`,
        milliseconds: loading.longest,
      },
    ];
  } finally {
    await raphe.close();
    stop();
    await rm(raphe.profile, { recursive: true, force: true });
    await rm(folder, { recursive: true, force: true });
  }
}
