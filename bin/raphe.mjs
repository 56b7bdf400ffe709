#!/usr/bin/env node
// The command line's entry: plain Node, no display. `npm ci` builds what it runs; a clone without it is told how.
import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";

const built = new URL("../out/cli/raphe.cjs", import.meta.url);
if (!existsSync(fileURLToPath(built))) {
  console.error("raphe is not built yet: run `npm ci` (or `npm run build:cli`) in its folder first.");
  process.exit(2);
}
await import(built.href);
