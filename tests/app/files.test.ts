import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { mkdir, mkdtemp, readdir, readFile, rm, truncate, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import type { Page } from "@playwright/test";
import { fileAddress } from "#core/bridge/address";
import type { FileOffer } from "#core/bridge/shapes";
import { drop } from "./page-steps";
import { expect, launchRaphe, ROOT, type RunningRaphe, test as withRaphe } from "./raphe";

// Bytes that are no scan, so that only the way of a file is tested: main never looks into it.
const BYTES = Buffer.from(Array.from({ length: 3_000_001 }, (_, index) => (index * 131 + (index >> 8)) & 255));
const SHA256 = createHash("sha256").update(BYTES).digest("hex");

const test = withRaphe.extend<{ folder: string; scan: string }>({
  // biome-ignore lint/correctness/noEmptyPattern: Playwright reads what a fixture needs from the pattern
  folder: async ({}, use) => {
    const folder = await mkdtemp(join(tmpdir(), "raphe-files-"));
    await use(folder);
    await rm(folder, { recursive: true, force: true });
  },
  scan: async ({ folder }, use) => {
    const scan = join(folder, "Before scan.stl");
    await writeFile(scan, BYTES);
    await use(scan);
  },
});

/** Lets the next open dialogs answer as if the user had chosen these paths; none closes the dialog. */
async function choosing({ app }: RunningRaphe, ...paths: string[]): Promise<void> {
  await app.evaluate(({ dialog }, filePaths) => {
    dialog.showOpenDialog = async () => ({ canceled: filePaths.length === 0, filePaths });
  }, paths);
}

/** What the page's worker will do with a token: stream the file, here to its length and digest. */
async function streamed(page: Page, token: string) {
  return page.evaluate(async (address) => {
    const response = await fetch(address);
    const bytes = new Uint8Array(await response.arrayBuffer());
    const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
    return {
      status: response.status,
      announced: response.headers.get("content-length"),
      length: bytes.length,
      sha256: [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join(""),
    };
  }, fileAddress(token));
}

async function dropOn(page: Page, files: string[], meanwhile?: () => Promise<void>): Promise<FileOffer> {
  await page.evaluate(() => {
    const seen = { drops: 0, offer: null as FileOffer | null };
    Object.assign(window, { seen });
    window.addEventListener("drop", () => seen.drops++, { capture: true });
    window.raphe.onDropped((offer) => {
      seen.offer = offer;
    });
  });
  await drop(page, files, meanwhile);
  await page.waitForFunction(() => Reflect.get(window, "seen").offer !== null);
  const seen: { drops: number; offer: FileOffer } = await page.evaluate(() => Reflect.get(window, "seen"));
  expect(seen.drops, "the page itself sees no drop, since older Electron shows it the paths").toBe(0);
  return seen.offer;
}

test("scans chosen in the dialog reach the page by token, stream whole, and show no path", async ({
  sharedRaphe,
  folder,
  scan,
}) => {
  const { page } = sharedRaphe;
  await choosing(sharedRaphe, scan);
  const answer = await page.evaluate(() => window.raphe.chooseScans());
  expect(answer).toEqual({
    ok: true,
    value: {
      tickets: [{ token: expect.stringMatching(/^[0-9a-f]{64}$/), name: "Before scan.stl", size: BYTES.length }],
      refused: [],
    },
  });
  expect(JSON.stringify(answer)).not.toContain(basename(folder));
  const { token } = (answer as { value: FileOffer }).value.tickets[0]!;
  expect(await streamed(page, token)).toEqual({
    status: 200,
    announced: String(BYTES.length),
    length: BYTES.length,
    sha256: SHA256,
  });
  expect(await page.evaluate((of) => window.raphe.fileDigest(of), token)).toEqual({ ok: true, value: SHA256 });

  await choosing(sharedRaphe);
  expect(await page.evaluate(() => window.raphe.chooseScans())).toEqual({
    ok: true,
    value: { tickets: [], refused: [] },
  });
});

test("a file comes in chunks, and one that becomes shorter while it is read is an error, not a short scan", async ({
  sharedRaphe,
  scan,
}) => {
  const { page } = sharedRaphe;
  await truncate(scan, 300_000_000); // sparse: it takes no room
  await choosing(sharedRaphe, scan);
  const { announced, first } = await page.evaluate(async () => {
    const answer = await window.raphe.chooseScans();
    if (!answer.ok) throw new Error(answer.error.problem);
    const response = await fetch(`/file/${answer.value.tickets[0]!.token}`);
    const reader = response.body!.getReader();
    Object.assign(window, { reader });
    return { announced: response.headers.get("content-length"), first: (await reader.read()).value!.length };
  });
  expect(announced).toBe("300000000");
  expect(first).toBeGreaterThan(0);
  expect(first).toBeLessThan(30_000_000);
  await truncate(scan, 1_000_000);
  const end = await page.evaluate(async () => {
    const reader: ReadableStreamDefaultReader<Uint8Array> = Reflect.get(window, "reader");
    try {
      while (!(await reader.read()).done);
      return "read to the end";
    } catch (error) {
      return (error as Error).name;
    }
  });
  expect(end).toBe("TypeError"); // a network error, in the words of fetch
  sharedRaphe.problems.length = 0; // the console names it too
});

test("a missing file, a folder and an unplugged drive are named, and the others still open", async ({
  sharedRaphe,
  folder,
  scan,
}) => {
  const { page } = sharedRaphe;
  await mkdir(join(folder, "scans of may"));
  await choosing(sharedRaphe, join(folder, "gone.ply"), join(folder, "scans of may"), "/dev/null", scan);
  const answer = await page.evaluate(() => window.raphe.chooseScans());
  expect(answer).toMatchObject({
    ok: true,
    value: {
      tickets: [{ name: "Before scan.stl" }],
      refused: [
        {
          code: "file-missing",
          subject: "gone.ply",
          problem: "there is no such file",
          remedy: "Check whether it was moved or its drive is not connected, then choose it again",
        },
        { code: "not-a-file", subject: "scans of may", problem: "this is a folder, not a file" },
        { code: "not-a-file", subject: "null" },
      ],
    },
  });
  // The drive goes away between choosing and reading.
  const { token } = (answer as { value: FileOffer }).value.tickets[0]!;
  await rm(scan);
  const late = await page.evaluate(async (address) => {
    const response = await fetch(address);
    return { status: response.status, error: await response.json() };
  }, fileAddress(token));
  expect(late).toMatchObject({ status: 404, error: { code: "file-missing", subject: "Before scan.stl" } });
  sharedRaphe.problems.length = 0; // the console names the 404
});

test("dropped files arrive, a dropped folder is refused by name", async ({ sharedRaphe, folder, scan }) => {
  const offer = await dropOn(sharedRaphe.page, [scan, folder]);
  expect(offer).toMatchObject({
    tickets: [{ name: "Before scan.stl", size: BYTES.length }],
    refused: [{ code: "not-a-file", subject: basename(folder) }],
  });
  expect((await streamed(sharedRaphe.page, offer.tickets[0]!.token)).sha256).toBe(SHA256);
});

test("files arrive where the page changed under the pointer just before they were let go", async ({
  sharedRaphe,
  scan,
}) => {
  const { page } = sharedRaphe;
  const offer = await dropOn(page, [scan], () =>
    page.evaluate(() => {
      const laidOver = document.createElement("div");
      laidOver.style.cssText = "position: fixed; inset: 0";
      document.body.append(laidOver);
    }),
  );
  expect(offer.tickets).toMatchObject([{ name: "Before scan.stl" }]);
});

test("a landmark file is read, one that is far too large is refused", async ({ sharedRaphe, folder }) => {
  const { page } = sharedRaphe;
  const marks = join(folder, "marks.json");
  await writeFile(marks, '{"version":1,"scans":{}}');
  await choosing(sharedRaphe, marks);
  expect(await page.evaluate(() => window.raphe.chooseMarks())).toEqual({
    ok: true,
    value: { name: "marks.json", text: '{"version":1,"scans":{}}' },
  });
  await writeFile(marks, Buffer.alloc(9_000_000, " "));
  expect(await page.evaluate(() => window.raphe.chooseMarks())).toMatchObject({
    ok: false,
    error: { code: "too-large", subject: "marks.json" },
  });
  await choosing(sharedRaphe);
  expect(await page.evaluate(() => window.raphe.chooseMarks())).toEqual({ ok: true, value: null });
});

test("the sample cases open with their scans in the order of time and their landmarks", async ({ sharedRaphe }) => {
  const { page } = sharedRaphe;
  const opened = await page.evaluate(async () => {
    const start = await window.raphe.startInfo();
    if (!start.ok) throw new Error(start.error.problem);
    return Promise.all(start.value.sampleCases.map(({ id }) => window.raphe.openSample(id)));
  });
  const summary = opened.map((answer) =>
    answer.ok
      ? {
          title: answer.value.description.title,
          case: answer.value.description.identity.pseudonym,
          timepoints: answer.value.description.timepoints.map(({ name, date, scan }) => [name, date, scan]),
          scans: answer.value.scans.map(({ path, ticket }) => [path, ticket.name]),
          marked: answer.value.marks.flatMap(({ text }) => Object.keys(JSON.parse(text).scans)),
        }
      : answer.error,
  );
  expect(summary).toEqual([
    {
      title: "Sample case: fan-shaped widening, with a scan in retention (invented)",
      case: "SAMPLE-1",
      timepoints: [
        ["before", "2026-03-03", "before.stl"],
        ["after", "2026-05-28", "after.ply"],
        ["in retention", "2026-11-24", "in-retention.ply"],
      ],
      scans: [
        ["before.stl", "before.stl"],
        ["lower.ply", "lower.ply"],
        ["after.ply", "after.ply"],
        ["in-retention.ply", "in-retention.ply"],
      ],
      marked: ["before", "after", "in-retention", "lower"],
    },
    {
      title: "Sample case: parallel widening (invented)",
      case: "SAMPLE-2",
      timepoints: [
        ["before", "2026-03-03", "before.stl"],
        ["after", "2026-05-28", "after.ply"],
      ],
      scans: [
        ["before.stl", "before.stl"],
        ["after.ply", "after.ply"],
      ],
      marked: ["before", "after"],
    },
  ]);
});

test("the menu sends its commands to the page", async ({ sharedRaphe }) => {
  const { app, page } = sharedRaphe;
  await choosing(sharedRaphe); // the page will ask for scans
  await page.evaluate(() => {
    const commands: string[] = [];
    Object.assign(window, { commands });
    window.raphe.onCommand((command) => commands.push(command));
  });
  await app.evaluate(({ Menu }) => {
    for (const id of ["open-scans", "export-sheet", "undo", "redo"]) {
      Menu.getApplicationMenu()!.getMenuItemById(id)!.click();
    }
  });
  await expect
    .poll(() => page.evaluate(() => Reflect.get(window, "commands")))
    .toEqual(["open-scans", "export-sheet", "undo", "redo"]);
});

test("an export goes into a new folder each time and overwrites nothing", async ({ sharedRaphe, folder }) => {
  const { page } = sharedRaphe;
  await choosing(sharedRaphe, folder);
  const exporting = (text: string) =>
    page.evaluate(
      (content) =>
        window.raphe.exportSheet({
          pseudonym: "P 17/…/b",
          date: "2024-05-01",
          files: [
            { name: "sheet.pdf", bytes: new TextEncoder().encode(content) },
            { name: "readings.json", bytes: new TextEncoder().encode("{}") },
          ],
        }),
      text,
    );
  const parent = basename(folder);
  expect(await exporting("first")).toEqual({ ok: true, value: { folder: "raphe-P-17-b-2024-05-01", parent } });
  expect(await exporting("second")).toEqual({ ok: true, value: { folder: "raphe-P-17-b-2024-05-01-2", parent } });
  expect((await readdir(folder)).sort()).toEqual(["raphe-P-17-b-2024-05-01", "raphe-P-17-b-2024-05-01-2"]);
  expect((await readdir(join(folder, "raphe-P-17-b-2024-05-01"))).sort()).toEqual(["readings.json", "sheet.pdf"]);
  expect(await readFile(join(folder, "raphe-P-17-b-2024-05-01", "sheet.pdf"), "utf8")).toBe("first");
  expect(await readFile(join(folder, "raphe-P-17-b-2024-05-01-2", "sheet.pdf"), "utf8")).toBe("second");

  await choosing(sharedRaphe, join(folder, "taken away"));
  expect(await exporting("third")).toMatchObject({
    ok: false,
    error: { code: "not-writable", subject: "taken away", problem: "the folder is no longer there" },
  });
  await choosing(sharedRaphe);
  expect(await exporting("fourth")).toEqual({ ok: true, value: null });
});

test("files named on the command line are opened at start, those of a second start when it happens", async ({
  folder,
  scan,
}) => {
  const raphe = await launchRaphe({ files: [scan, join(folder, "gone.ply")] });
  const start = await raphe.page.evaluate(() => window.raphe.startInfo());
  expect(start.ok && start.value.version).toMatch(/^\d+\.\d+\.\d+$/);
  const electron = Number.parseInt(await raphe.app.evaluate(() => process.versions.electron), 10);
  expect(start.ok && start.value.testRuntime).toBe(electron < 42);
  // The page itself has asked before: what was on the command line is on the screen.
  await expect(raphe.page.locator("body")).toContainText("gone.ply: there is no such file");
  await expect(raphe.page.locator("body")).toContainText("Before scan.stl");
  const second = join(folder, "after.ply");
  await writeFile(second, "ply");
  await raphe.page.evaluate(() => {
    window.raphe.onInvited((offer) => Object.assign(window, { invited: offer }));
  });
  const other = spawnSync(
    raphe.app.process().spawnfile,
    [...(process.getuid?.() === 0 ? ["--no-sandbox"] : []), `--user-data-dir=${raphe.profile}`, ".", second],
    { cwd: ROOT, timeout: 30_000 },
  );
  expect(other.status, "the second start ends at once").toBe(0);
  await expect
    .poll(() => raphe.page.evaluate(() => Reflect.get(window, "invited")))
    .toMatchObject({ tickets: [{ name: "after.ply", size: 3 }], refused: [] });
  expect(await raphe.close()).toBe(0);
  await rm(raphe.profile, { recursive: true, force: true });
});
