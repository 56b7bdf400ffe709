#!/usr/bin/env node
// `npm run demo`: the main job without a window, on the invented fan-shaped case, into demo-output/. It calls the same
// command line as a user would; the folder is the demo's own and made anew each time.
import { spawnSync } from "node:child_process";
import { existsSync, rmSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const ROOT = fileURLToPath(new URL("..", import.meta.url));
const OUT = "demo-output";
const SAMPLE = "sample-meshes/fan/case.json";

if (!existsSync(join(ROOT, "out/cli/raphe.cjs"))) {
  const built = spawnSync("npm", ["run", "--silent", "build:cli"], {
    cwd: ROOT,
    stdio: "inherit",
    shell: process.platform === "win32",
  });
  if (built.status !== 0) process.exit(built.status ?? 1);
}
rmSync(join(ROOT, OUT), { recursive: true, force: true });
const given = ["measure", "--case", SAMPLE, "--out", OUT];
console.error(`raphe ${given.join(" ")}\n`);
const done = spawnSync(process.execPath, [join(ROOT, "bin/raphe.mjs"), ...given], { cwd: ROOT, stdio: "inherit" });
process.exitCode = done.status ?? 1;
