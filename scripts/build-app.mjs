#!/usr/bin/env node
// Builds the app into out/ if anything that it is made of has changed since the last build.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const ROOT = fileURLToPath(new URL("..", import.meta.url));
const SOURCES = [
  "src-core",
  "src-main",
  "src-renderer",
  "electron.vite.config.ts",
  "package.json",
  "package-lock.json",
];
const STATE = join(ROOT, "out", "app-sources.txt");
const PRODUCTS = ["out/main/index.cjs", "out/preload/index.cjs", "out/renderer/index.html"];

/** A digest over names, sizes and times of all sources. */
function sourcesState() {
  const hash = createHash("sha256");
  const add = (path) => {
    const status = statSync(join(ROOT, path));
    if (status.isDirectory()) {
      for (const name of readdirSync(join(ROOT, path)).sort()) add(`${path}/${name}`);
    } else {
      hash.update(`${path} ${status.size} ${status.mtimeMs}\n`);
    }
  };
  SOURCES.forEach(add);
  return hash.digest("hex");
}

/**
 * @param {(line: string) => void} log
 * @throws where the build fails
 */
export function buildApp(log) {
  const state = sourcesState();
  const built = PRODUCTS.every((product) => existsSync(join(ROOT, product)));
  if (built && existsSync(STATE) && readFileSync(STATE, "utf8") === state) return;
  log("building the app");
  rmSync(STATE, { force: true });
  const bin = join(ROOT, "node_modules", "electron-vite", "bin", "electron-vite.js");
  const done = spawnSync(process.execPath, [bin, "build", "--logLevel", "warn"], { cwd: ROOT, stdio: "inherit" });
  if (done.status !== 0) throw new Error("the app could not be built");
  writeFileSync(STATE, state);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  try {
    buildApp(console.log);
  } catch (error) {
    console.error(error instanceof Error ? error.message : error);
    process.exit(1);
  }
}
