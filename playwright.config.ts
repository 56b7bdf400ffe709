import { defineConfig } from "@playwright/test";

export default defineConfig({
  testDir: "tests/app",
  testMatch: "**/*.test.ts",
  globalSetup: "./tests/app/global-setup.ts",
  outputDir: "out/app-tests",
  workers: 1, // each Electron already keeps two cores busy
  fullyParallel: false,
  retries: 0,
  // These end a hang; a busy PC without a graphics card may take a third of them.
  timeout: 240_000,
  globalTimeout: 20 * 60_000,
  expect: { timeout: 60_000 },
  reporter: [["list"], ["json", { outputFile: "out/app-tests.json" }]],
});
