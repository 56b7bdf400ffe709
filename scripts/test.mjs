#!/usr/bin/env node
// `npm test`: format and lint, types, unit and published-source tests, the build, and the app tests in a real Electron.
// A failure does not stop what comes after it. The last line is `N passed, N failed`: every test counts as one, and so
// does every check that has no tests of its own, and every test file that cannot be loaded.
import { spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { buildApp } from "./build-app.mjs";

const ROOT = fileURLToPath(new URL("..", import.meta.url));
const UNIT_REPORT = join(ROOT, "out", "unit-tests.json");
const APP_REPORT = join(ROOT, "out", "app-tests.json");
// A hang ends here; nothing takes nearly as long.
const STEP_LIMIT_MS = 22 * 60_000;

let passed = 0;
let failed = 0;

function heading(text) {
  console.log(`\n== ${text}`);
}

/** Runs a program of node_modules; true where it ended well. */
function run(program, ...given) {
  const done = spawnSync(join(ROOT, "node_modules", ".bin", program), given, {
    cwd: ROOT,
    stdio: "inherit",
    timeout: STEP_LIMIT_MS,
    shell: process.platform === "win32",
  });
  if (done.error) console.error(done.error.message);
  return done.status === 0;
}

function count(well) {
  if (well) passed++;
  else failed++;
}

/**
 * Adds a test run's own counts. A run that ended badly without a failed test, or in which nothing ran, counts as one
 * failure.
 */
function countRun(endedWell, report, read) {
  let counts = { passed: 0, failed: 0 };
  try {
    counts = read(JSON.parse(readFileSync(report, "utf8")));
  } catch (error) {
    console.error(`no report of this run: ${error.message}`);
  }
  passed += counts.passed;
  failed += counts.failed;
  if (counts.failed === 0 && (!endedWell || counts.passed === 0)) failed++;
}

mkdirSync(join(ROOT, "out"), { recursive: true });
for (const report of [UNIT_REPORT, APP_REPORT]) rmSync(report, { force: true });

heading("format and lint");
count(run("biome", "ci"));

heading("types");
count(run("tsc", "-p", "."));
count(run("tsc", "-p", "src-core"));

heading("the command line");
count(run("vite", "build", "-c", "vite.cli.config.ts", "--logLevel", "warn"));

heading("unit tests and checks against published sources");
const unitWell = run(
  "vitest",
  "run",
  "--allowOnly=false",
  "--reporter=default",
  "--reporter=json",
  `--outputFile.json=${UNIT_REPORT}`,
);
countRun(unitWell, UNIT_REPORT, (report) => {
  const broken = report.testResults.filter(
    (file) => file.status === "failed" && file.assertionResults.every((test) => test.status !== "failed"),
  );
  return { passed: report.numPassedTests, failed: report.numFailedTests + broken.length };
});

heading("build");
let built = true;
try {
  buildApp(console.log);
} catch (error) {
  console.error(error.message);
  built = false;
}
count(built);

heading("the app in a real Electron");
if (built) {
  const appWell = run("playwright", "test", "--forbid-only");
  countRun(appWell, APP_REPORT, ({ stats }) => ({
    passed: stats.expected,
    failed: stats.unexpected + stats.flaky,
  }));
} else {
  console.error("not run: there is no build");
  failed++;
}

console.log(`\n${passed} passed, ${failed} failed`);
process.exitCode = failed > 0 ? 1 : 0;
