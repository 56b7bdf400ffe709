// `npx tsx scripts/make-schemas.ts`: writes the JSON Schemas of case.json, marks.json and readings.json from the code that reads and
// writes them. A test fails while they are out of date.
import { execFileSync } from "node:child_process";
import { mkdirSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { schemaTexts } from "#core/sheet/json";

const folder = resolve(import.meta.dirname, "../schemas");
mkdirSync(folder, { recursive: true });
for (const { name, text } of schemaTexts()) writeFileSync(join(folder, name), text);
execFileSync("npx", ["--no-install", "biome", "format", "--write", folder], { stdio: "inherit" });
