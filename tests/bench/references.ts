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

/** Environment in which the references use one thread. */
const ONE_THREAD = { ...process.env, OMP_NUM_THREADS: "1", OPENBLAS_NUM_THREADS: "1" };

/** Processor time of one run in ms and the numbers a task of references/register.py gives; null where it is not installed. */
export function registered(
  task: "open3d-tukey" | "open3d-plain" | "vtk-icp" | "vtk-signed",
  folder: string,
  rounds = 1,
): { readonly milliseconds: number; readonly numbers: readonly number[] } | null {
  const program = join(import.meta.dirname, "references/register.py");
  const done = spawnSync(PYTHON, [program, task, folder, String(rounds)], {
    encoding: "utf8",
    timeout: 300_000,
    env: ONE_THREAD,
  });
  if (done.error !== undefined || /ModuleNotFoundError/.test(done.stderr)) return null;
  const [milliseconds, ...numbers] = (done.stdout.trim().split("\n").at(-1) ?? "").split(" ").map(Number);
  if (done.status !== 0 || !(milliseconds! >= 0)) throw new Error(`${task} failed: ${done.stderr.slice(-400)}`);
  return { milliseconds: milliseconds!, numbers };
}

/** Compiles references/nearest.cpp into the folder; null where g++ or the headers of Embree and nanoflann are missing. */
export function compiledNearest(folder: string): string | null {
  const program = join(folder, "nearest");
  const source = join(import.meta.dirname, "references/nearest.cpp");
  const done = spawnSync("g++", ["-O3", "-march=native", "-I/usr/include/eigen3", source, "-lembree3", "-o", program], {
    encoding: "utf8",
    timeout: 300_000,
  });
  return done.error === undefined && done.status === 0 ? program : null;
}

/** Processor times (ms) of one run of the compiled program: building and searching. */
export function nearestTimes(
  program: string,
  folder: string,
  rounds = 1,
): Record<"embree" | "nanoflann", { readonly build: number; readonly search: number }> {
  const done = spawnSync(program, [folder, String(rounds)], { encoding: "utf8", timeout: 300_000, env: ONE_THREAD });
  if (done.status !== 0) throw new Error(`nearest failed: ${done.stderr.slice(-400)}`);
  const timesOf = (name: string) => {
    const line = done.stdout.split("\n").find((text) => text.startsWith(name));
    const [build, search] = (line ?? "").split(" ").slice(1).map(Number);
    return { build: build!, search: search! };
  };
  return { embree: timesOf("embree"), nanoflann: timesOf("nanoflann") };
}
