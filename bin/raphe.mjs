#!/usr/bin/env node
// The command line's entry: plain Node, no display. `npm ci` builds what it runs; a clone without it is told how.
import { existsSync } from "node:fs";
import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";

const built = new URL("../out/cli/raphe.cjs", import.meta.url);
if (!existsSync(fileURLToPath(built))) {
  console.error("raphe is not built yet: run `npm ci` (or `npm run build:cli`) in its folder first.");
  process.exit(2);
}
// Importing it would parse all of it once more, to find what it exports.
createRequire(import.meta.url)(fileURLToPath(built));
