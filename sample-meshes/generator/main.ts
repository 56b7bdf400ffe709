/**
 * Makes the sample scans again: npm run samples [-- --triangles N] [-- --out FOLDER].
 * Without options it writes the committed files, byte for byte.
 */
import { mkdirSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { parseArgs } from "node:util";
import { makeLowerArch } from "./lower-arch";
import { makeSamplePair, type SamplePairOptions, SCANNER } from "./sample-pair";
import { FAN, LOWER_TRIANGLES, PARALLEL } from "./sample-sets";
import { toPly, toStl } from "./scan-files";

const { values } = parseArgs({ options: { triangles: { type: "string" }, out: { type: "string" } } });
const triangles = values.triangles === undefined ? null : Number(values.triangles);
if (triangles !== null && !(Number.isInteger(triangles) && triangles >= 5000 && triangles <= 5_000_000)) {
  process.stderr.write("--triangles takes a whole number from 5000 to 5000000\n");
  process.exit(2);
}
if (triangles !== null && values.out === undefined) {
  process.stderr.write("--triangles needs --out FOLDER, so that the committed samples stay as they are\n");
  process.exit(2);
}
const root = resolve(values.out ?? join(import.meta.dirname, ".."));

function write(folder: string, name: string, content: Uint8Array | string): void {
  mkdirSync(join(root, folder), { recursive: true });
  writeFileSync(join(root, folder, name), content);
  process.stdout.write(`${folder}/${name}  ${(content.length / 1e6).toFixed(2)} MB\n`);
}

/** JSON with one line per landmark or matrix row, coordinates to 1e-9 mm. */
function json(value: unknown): string {
  const rounded = JSON.stringify(value, (_, v) => (typeof v === "number" ? Math.round(v * 1e9) / 1e9 : v), 1);
  return `${rounded.replace(/\[\s+((?:-?[\d.e-]+,?\s*)+)\]/g, (_, row: string) => `[${row.trim().replace(/\s+/g, " ")}]`)}\n`;
}

function writePair(folder: string, set: SamplePairOptions): void {
  const pair = makeSamplePair(triangles === null ? set : { ...set, triangles });
  for (const [name, mesh] of Object.entries(pair.meshes)) {
    const file = set.files![name]!;
    write(folder, file, file.endsWith(".stl") ? toStl(mesh) : toPly(mesh));
  }
  write(folder, `truth-${folder}.json`, json(pair.truth));
  write(folder, `marks-${folder}.json`, json(pair.marks));
}

writePair("fan", FAN);
const lower = makeLowerArch(FAN.seed, triangles ?? LOWER_TRIANGLES, SCANNER, "lower.ply");
write("fan", "lower.ply", toPly(lower.mesh));
write("fan", "truth-lower.json", json(lower.truth));
write("fan", "marks-lower.json", json(lower.marks));
writePair("parallel", PARALLEL);
