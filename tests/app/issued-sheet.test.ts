import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "@playwright/test";
import { build } from "vite";
import type { FixedCase } from "./fixed-case";
import { choosing, openSample, picture, sized, verdict } from "./page-steps";
import { expect, ROOT, test } from "./raphe";

const SAMPLE = join(ROOT, "sample-meshes/fan");
const CHROMIUM = "/usr/bin/chromium";

/** The first line in which two texts differ, of both; null where every byte is the same. */
function firstDifference(a: string, b: string): { line: number; a: string | null; b: string | null } | null {
  if (a === b) return null;
  const [left, right] = [a.split("\n"), b.split("\n")];
  const at = left.findIndex((text, line) => text !== right[line]);
  const line = at < 0 ? left.length : at;
  return { line: line + 1, a: left[line] ?? null, b: right[line] ?? null };
}

/** The sample's case with its first two scans only, as the app compares them at first. */
async function firstTwoScans(folder: string): Promise<string> {
  const { marks, timepoints, ...all } = JSON.parse(await readFile(join(SAMPLE, "case.json"), "utf8"));
  const { scans } = JSON.parse(await readFile(join(SAMPLE, marks), "utf8"));
  const absolute = (of: { scan: string; marks?: string }) => ({
    ...of,
    scan: join(SAMPLE, of.scan),
    ...(of.marks === undefined ? {} : { marks: join(SAMPLE, of.marks) }),
  });
  const two = timepoints.slice(0, 2).map((timepoint: { name: string; scan: string; lower?: { scan: string } }) => ({
    ...absolute(timepoint),
    ...(timepoint.lower === undefined ? {} : { lower: absolute(timepoint.lower) }),
    landmarks: scans[timepoint.name].landmarks,
  }));
  const path = join(folder, "case.json");
  await writeFile(path, JSON.stringify({ ...all, timepoints: two }));
  return path;
}

/** Runs the command line on a case. */
function onCommandLine(caseFile: string, out: string): void {
  const built = spawnSync("npm", ["run", "--silent", "build:cli"], {
    cwd: ROOT,
    encoding: "utf8",
    shell: process.platform === "win32",
  });
  expect(built.stderr, "the command line is built").toBe("");
  const given = ["measure", "--case", caseFile, "--out", out];
  const done = spawnSync(process.execPath, [join(ROOT, "bin/raphe.mjs"), ...given], { cwd: ROOT, encoding: "utf8" });
  expect(done.status, done.stderr).toBe(0);
}

test("a sheet issued into its own folder holds, byte for byte, the numbers of the command line and of another engine", async ({
  raphe,
}) => {
  const { page } = raphe;
  const folder = await mkdtemp(join(tmpdir(), "raphe-same-"));
  await sized(raphe, 1600, 1000);
  await openSample(page, "fan-shaped");
  await expect(page.getByText("86 days, 24 turns")).toBeVisible();
  await choosing(raphe, folder);
  await page.getByRole("button", { name: "Issue sheet" }).click();
  await expect(page.getByText(/Sheet issued: folder raphe-SAMPLE-1-/)).toBeVisible();
  const [issued] = await readdir(folder);
  const files = await readdir(join(folder, issued!));
  const pdf = await readFile(join(folder, issued!, files.find((name) => name.endsWith(".pdf"))!));
  expect(pdf.subarray(0, 5).toString()).toBe("%PDF-");
  expect(pdf.length).toBeGreaterThan(50_000);
  await picture(page, "10-issued");

  await page.getByRole("textbox", { name: "date of before" }).fill("4 Mar 2026");
  await page.getByRole("textbox", { name: "date of after" }).fill("2026-05-27");
  await page.keyboard.press("Enter");
  await expect(page.getByText("84 days, 24 turns")).toBeVisible();
  // A new case does not throw this one away.
  await page.getByRole("button", { name: "New case" }).click();
  await page.getByRole("button", { name: "Back to the case before: SAMPLE-1" }).click();
  await expect(verdict(page)).toContainText("fan-shaped, wider in front");
  await expect(page.getByRole("textbox", { name: "date of before" })).toHaveValue("4\u00a0Mar\u00a02026");

  const all = join(folder, "command-line");
  onCommandLine(await firstTwoScans(folder), all);
  const out = join(all, "before-to-after");
  expect(files.sort()).toEqual((await readdir(out)).sort());
  for (const name of ["readings.json", "readings.csv", "marks.json"]) {
    const byApp = await readFile(join(folder, issued!, name), "utf8");
    expect(byApp.length).toBeGreaterThan(1000);
    expect(firstDifference(byApp, await readFile(join(out, name), "utf8")), name).toBeNull();
  }
  const readings = await readFile(join(out, "readings.json"), "utf8");
  await rm(folder, { recursive: true, force: true });

  await test.step("in Debian's chromium", async () => {
    test.info().annotations.push({
      type: "chromium",
      description: existsSync(CHROMIUM) ? "computed" : `left out: there is no ${CHROMIUM}`,
    });
    if (!existsSync(CHROMIUM)) return;
    const { version } = JSON.parse(readings).software;
    expect(firstDifference(await inChromium(version), readings)).toBeNull();
  });
});

/** The same case computed by the core alone in Debian's own browser, whose engine is years away from the app's. */
async function inChromium(version: string): Promise<string> {
  const made = await build({
    configFile: false,
    root: ROOT,
    logLevel: "warn",
    build: {
      write: false,
      minify: false,
      lib: { entry: join(ROOT, "tests/app/fixed-case.ts"), formats: ["iife"], name: "fixedCase" },
    },
  });
  const [bundle] = Array.isArray(made) ? made : [made];
  if (bundle === undefined || !("output" in bundle)) throw new Error("the fixed case could not be bundled");
  const code = bundle.output[0].code;
  const browser = await chromium.launch({ executablePath: CHROMIUM, args: ["--no-sandbox"] });
  try {
    const page = await browser.newPage();
    await page.route("http://sample.test/**", async (route) => {
      const { pathname } = new URL(route.request().url());
      if (pathname === "/")
        await route.fulfill({ contentType: "text/html", body: "<!doctype html><title>case</title>" });
      else await route.fulfill({ path: join(SAMPLE, pathname) });
    });
    await page.goto("http://sample.test/");
    await page.addScriptTag({ content: code });
    return await page.evaluate(async (software) => {
      const { readingsOf } = Reflect.get(window, "fixedCase") as { readingsOf(given: FixedCase): Promise<string> };
      const bytesOf = async (path: string) => new Uint8Array(await (await fetch(`/${path}`)).arrayBuffer());
      return readingsOf({ description: await (await fetch("/case.json")).text(), bytesOf, version: software });
    }, version);
  } finally {
    await browser.close();
  }
}
