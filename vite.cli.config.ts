import { resolve } from "node:path";
import { defineConfig } from "vite";

const here = (path: string) => resolve(import.meta.dirname, path);

// The command line has a build of its own: inside the app's build it would share chunks that require electron.
export default defineConfig({
  resolve: { alias: { pdfkit: here("node_modules/pdfkit/js/pdfkit.browser.mjs") } },
  ssr: { noExternal: true },
  build: {
    ssr: true,
    target: "node20",
    outDir: here("out/cli"),
    emptyOutDir: true,
    rolldownOptions: {
      input: { raphe: here("src-main/command-line/main.ts") },
      output: { format: "cjs", entryFileNames: "[name].cjs", codeSplitting: false },
    },
  },
});
