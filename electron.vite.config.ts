import { resolve } from "node:path";
import react from "@vitejs/plugin-react";
import { defineConfig } from "electron-vite";

// The oldest Electron that the build must run on: 25.1 (Node 18.15, Chromium 114), the test runtime. They are stated,
// since electron-vite would derive them from the newer Electron in node_modules.
const NODE_TARGET = "node18.15";
const CHROME_TARGET = "chrome114";

const here = (path: string) => resolve(import.meta.dirname, path);

// pdfkit's browser build compresses with fflate: the same bytes everywhere.
const alias = { pdfkit: here("node_modules/pdfkit/js/pdfkit.browser.mjs") };

export default defineConfig({
  main: {
    resolve: { alias },
    build: {
      target: NODE_TARGET,
      outDir: here("out/main"),
      externalizeDeps: false,
      rolldownOptions: {
        input: { index: here("src-main/index.ts") },
        output: { format: "cjs", entryFileNames: "[name].cjs", chunkFileNames: "[name]-[hash].cjs" },
      },
    },
  },
  preload: {
    resolve: { alias },
    build: {
      target: NODE_TARGET,
      outDir: here("out/preload"),
      externalizeDeps: false, // a sandboxed preload script is one file: it can load Electron only
      rolldownOptions: {
        input: { index: here("src-main/preload.ts") },
        output: { format: "cjs", entryFileNames: "[name].cjs", codeSplitting: false },
      },
    },
  },
  renderer: {
    root: here("src-renderer"),
    resolve: { alias },
    plugins: [react()],
    worker: { format: "es" },
    build: {
      target: CHROME_TARGET,
      outDir: here("out/renderer"),
      assetsInlineLimit: 0, // the page's policy lets no data: scripts and fonts in
      rolldownOptions: { input: { index: here("src-renderer/index.html") } },
    },
  },
});
