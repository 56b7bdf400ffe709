import { resolve } from "node:path";
import { defineConfig } from "vitest/config";
import { BaseSequencer, type TestSpecification } from "vitest/node";

// pdfkit's browser build compresses with fflate: the same bytes in Node, in the worker and in the page.
export const pdfkitBrowserBuild = resolve(import.meta.dirname, "node_modules/pdfkit/js/pdfkit.browser.mjs");

/** The longest files, which begin first so that no worker is left alone with one at the end. */
const LONGEST = [
  "coverage.test.ts",
  "command-line.test.ts",
  // It collects all garbage again and again: early, while there is little.
  "scan/memory.test.ts",
  "monte-carlo-palate.test.ts",
  "carry-over.test.ts",
  "coarse-pose.test.ts",
  "bad-input.test.ts",
  "monte-carlo-palate-scanner.test.ts",
  "mirrored.test.ts",
  "painted-scans.test.ts",
];

class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const place = ({ moduleId }: TestSpecification) => {
      const found = LONGEST.findIndex((name) => moduleId.includes(name));
      return found < 0 ? LONGEST.length : found;
    };
    return (await super.sort(files)).sort((a, b) => place(a) - place(b));
  }
}

export default defineConfig({
  resolve: { alias: { pdfkit: pdfkitBrowserBuild } },
  test: {
    include: ["tests/unit/**/*.test.ts", "tests/published/**/*.test.ts"],
    testTimeout: 60_000,
    hookTimeout: 120_000,
    maxWorkers: 2,
    // Both cores have a worker of their own: helpers of the garbage collector would only take turns with them.
    execArgv: ["--single-threaded-gc", "--max-semi-space-size=64"],
    // Modules hold no state that a test file could leave behind, so the next file finds them loaded and compiled.
    isolate: false,
    sequence: { sequencer: LongestFirst },
  },
});
