import { spawnSync } from "node:child_process";
import { join } from "node:path";

/** What a reference library measured of itself. */
export interface ReferenceTime {
  readonly milliseconds: number;
  readonly vertices: number;
  readonly triangles: number;
}

/** Debian's packages are made for its own Python. */
const PYTHON = "/usr/bin/python3";

/** True where the benchmark was asked for reference libraries: `npm run bench -- --references`. */
export const withReferences = process.argv.includes("--references");

/** Runs one task of references/read_scan.py on a file; null where its library is not installed. */
export function referenceTime(task: string, file: string): ReferenceTime | null {
  if (!withReferences) return null;
  const done = spawnSync(PYTHON, [join(import.meta.dirname, "references/read_scan.py"), task, file], {
    encoding: "utf8",
    timeout: 120_000,
  });
  if (done.error !== undefined || /ModuleNotFoundError/.test(done.stderr)) {
    console.log(`not installed, so not compared with: ${task} (Debian: python3-vtk9, python3-open3d)`);
    return null;
  }
  const last = done.stdout.trim().split("\n").at(-1) ?? "";
  const [milliseconds, vertices, triangles] = last.split(" ").map(Number);
  if (done.status !== 0 || !(triangles! > 0)) throw new Error(`${task} failed: ${done.stderr.slice(-400)}`);
  return { milliseconds: milliseconds!, vertices: vertices!, triangles: triangles! };
}
