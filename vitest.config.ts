import { resolve } from "node:path";
import { defineConfig } from "vitest/config";

// pdfkit's browser build compresses with fflate: the same bytes in Node, in the worker and in the page.
export const pdfkitBrowserBuild = resolve(import.meta.dirname, "node_modules/pdfkit/js/pdfkit.browser.mjs");

export default defineConfig({
  resolve: { alias: { pdfkit: pdfkitBrowserBuild } },
  test: {
    include: ["tests/unit/**/*.test.ts", "tests/published/**/*.test.ts"],
    testTimeout: 60_000,
    hookTimeout: 120_000,
    maxWorkers: 2,
  },
});
