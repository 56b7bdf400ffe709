import type { ChildProcess } from "node:child_process";
import { existsSync } from "node:fs";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { _electron, test as base, type ElectronApplication, type Page } from "@playwright/test";

/** The project's folder. */
export const ROOT = resolve(import.meta.dirname, "../..");

// Longer than the app itself waits for its page.
const CLOSES_WITHIN_MS = 45_000;
const DEBUGGER_ENDS_WITHIN_MS = 5_000;

/** The app, running in a real Electron. */
export interface RunningRaphe {
  readonly app: ElectronApplication;
  readonly page: Page;
  /** The user's own folder of this run. */
  readonly profile: string;
  /** Errors of the page and its console; a test that provokes some empties the list. */
  readonly problems: string[];
  /** Resolves once the app has ended: its exit code, null where it was killed. */
  readonly exitCode: Promise<number | null>;
  /** Quits the app as a user would. @returns the exit code */
  close(): Promise<number | null>;
  /** Kills the app at once, as a crash or power cut would end it. */
  kill(): Promise<void>;
}

/** Starts the app, with scan files on its command line and on an existing profile where wanted. */
export async function launchRaphe(options: { files?: string[]; profile?: string } = {}): Promise<RunningRaphe> {
  const profile = options.profile ?? (await mkdtemp(join(tmpdir(), "raphe-profile-")));
  const asRoot = process.getuid?.() === 0;
  const app = await _electron.launch({
    args: [
      ...(asRoot ? ["--no-sandbox"] : []),
      // As on a PC without a graphics card: the page is put together by the processor, the 3D view is drawn by it.
      "--disable-gpu",
      "--enable-unsafe-swiftshader",
      `--user-data-dir=${profile}`,
      ROOT,
      ...(options.files ?? []),
    ],
    chromiumSandbox: !asRoot,
  });
  const child = app.process();
  const exitCode = exitCodeOf(child, profile);
  const page = await app.firstWindow();
  const problems: string[] = [];
  page.on("pageerror", (error) => problems.push(`page: ${error.message}`));
  page.on("console", (message) => {
    if (message.type() === "error") problems.push(`console: ${message.text()}`);
  });
  await page.waitForLoadState("load");
  return {
    app,
    page,
    profile,
    problems,
    exitCode,
    async close() {
      const tooLong = setTimeout(() => child.kill("SIGKILL"), CLOSES_WITHIN_MS);
      await app.close();
      clearTimeout(tooLong);
      return exitCode;
    },
    async kill() {
      child.kill("SIGKILL");
      await exitCode;
    },
  };
}

/**
 * The exit code of the app's process; null where it was killed.
 *
 * The test runner attaches a debugger to the main process, and taking that down at the very end sometimes never comes
 * back in Node 18 (about once in 200 closes on a busy machine, with an empty app as well). By then the app itself has
 * ended; whether well is told by its crash log.
 */
function exitCodeOf(child: ChildProcess, profile: string): Promise<number | null> {
  return new Promise((done) => {
    let stuckInDebugger = false;
    let words = "";
    let patience: ReturnType<typeof setTimeout> | undefined;
    child.stderr?.on("data", (data) => {
      words = (words + data).slice(-2_000);
      if (patience !== undefined || !words.includes("Debugger ending on")) return;
      patience = setTimeout(() => {
        stuckInDebugger = true;
        child.kill("SIGKILL");
      }, DEBUGGER_ENDS_WITHIN_MS);
    });
    child.once("exit", (code) => {
      clearTimeout(patience);
      done(stuckInDebugger ? (existsSync(join(profile, "crash.log")) ? 70 : 0) : code);
    });
  });
}

async function closeClean(raphe: RunningRaphe): Promise<void> {
  const code = await raphe.close();
  await rm(raphe.profile, { recursive: true, force: true });
  if (code !== 0) throw new Error(`the app ended with ${code}`);
}

function complain(problems: string[]): void {
  const found = problems.splice(0);
  if (found.length > 0) throw new Error(found.join("\n"));
}

/**
 * `raphe`: an app of the test's own, on an empty profile.
 * `sharedRaphe`: one app for all tests that ask for it, for those that leave nothing behind: its page is loaded anew
 * for each test, its profile stays.
 * Both fail the test on any error of the page or its console, and on an exit code other than 0.
 */
export const test = base.extend<{ raphe: RunningRaphe; sharedRaphe: RunningRaphe }, { runningRaphe: RunningRaphe }>({
  // biome-ignore lint/correctness/noEmptyPattern: Playwright reads what a fixture needs from the pattern
  raphe: async ({}, use) => {
    const raphe = await launchRaphe();
    await use(raphe);
    await closeClean(raphe);
    complain(raphe.problems);
  },
  runningRaphe: [
    // biome-ignore lint/correctness/noEmptyPattern: as above
    async ({}, use) => {
      const raphe = await launchRaphe();
      await use(raphe);
      await closeClean(raphe);
    },
    { scope: "worker" },
  ],
  sharedRaphe: async ({ runningRaphe }, use) => {
    await runningRaphe.page.reload();
    await use(runningRaphe);
    complain(runningRaphe.problems);
  },
});

export { expect } from "@playwright/test";
