import { defineConfig } from "@playwright/test";

export default defineConfig({
  testDir: "tests/app",
  testMatch: "**/*.test.ts",
  globalSetup: "./tests/app/global-setup.ts",
  outputDir: "out/app-tests",
  workers: 2, // each on a display of its own; an app that starts, saves or waits leaves a core to the other
  fullyParallel: true,
  retries: 0,
  timeout: 120_000,
  globalTimeout: 12 * 60_000,
  expect: { timeout: 40_000 },
  reporter: [["list"], ["json", { outputFile: "out/app-tests.json" }]],
});
