import { RapheError } from "#core/errors";
import { UNWATCHED } from "#core/job-control";
import { triangleCount, vertexCount } from "#core/mesh/triangle-mesh";
import { bytesSource } from "#core/scan/byte-source";
import { type Intake, takeIn } from "#core/scan/intake";
import { IntakeReport } from "#core/scan/intake-report";
import { mutated, random } from "./mutated-files";

/** Takes mutated files in and looks at every outcome; used by the unit tests and, with more files, by the long suite. */

/** Bytes that typed arrays asked for since the last reset, while `countingMemory` runs. */
let reserved = 0;

const COUNTED = ["Uint8Array", "Int32Array", "Uint32Array", "Float32Array", "Float64Array"] as const;
type TypedArrayClass = abstract new (...args: never[]) => { byteLength: number };

/** A typed array class that counts what is reserved through it; views on a buffer cost nothing. */
function counting(original: TypedArrayClass): TypedArrayClass {
  const proxy: TypedArrayClass = new Proxy(original, {
    construct(target, args, newTarget) {
      const made = Reflect.construct(target as never, args, newTarget === proxy ? target : newTarget) as {
        byteLength: number;
      };
      if (!(args[0] instanceof ArrayBuffer)) reserved += made.byteLength;
      return made;
    },
  });
  return proxy;
}

/** Runs some work while every typed array that is made anew is counted. */
export async function countingMemory<T>(work: () => Promise<T>): Promise<T> {
  const originals = COUNTED.map((name) => globalThis[name]);
  for (const name of COUNTED) Object.assign(globalThis, { [name]: counting(globalThis[name] as never) });
  try {
    return await work();
  } finally {
    COUNTED.forEach((name, i) => {
      Object.assign(globalThis, { [name]: originals[i] });
    });
  }
}

/** What every reader and the welding may reserve: fixed buffers, and a multiple of the file. */
export const memoryBound = (size: number): number => 400_000 + 60 * size;

/** A file that takes longer than this is stuck, ms; the slowest of thousands takes a hundredth of it. */
const STUCK = 60_000;

/** What became of one file, and the bytes that were reserved for it. */
export async function outcomeOf(bytes: Uint8Array): Promise<{ result: Intake | RapheError; reserved: number }> {
  reserved = 0;
  try {
    return { result: await takeIn(bytesSource("mutated", bytes, 4096), {}, UNWATCHED), reserved };
  } catch (error) {
    if (error instanceof RapheError) return { result: error, reserved };
    throw error;
  }
}

export interface MutationRun {
  /** How many files ended how: `mesh`, or the code of the error. */
  readonly outcomes: Readonly<Record<string, number>>;
  readonly slowest: { readonly file: number; readonly milliseconds: number };
  /** The most memory asked for, as a share of the bound. */
  readonly mostMemory: { readonly file: number; readonly share: number };
  /** One sentence for each file that ended in no sound mesh and no typed error, or broke a bound. */
  readonly faults: readonly string[];
}

/** Mutates and takes in `files` files, the same ones for the same seed. */
export function runMutations(seed: number, files: number): Promise<MutationRun> {
  return countingMemory(async () => {
    const next = random(seed);
    const outcomes: Record<string, number> = {};
    const faults: string[] = [];
    let slowest = { file: -1, milliseconds: 0 };
    let mostMemory = { file: -1, share: 0 };
    for (let file = 0; file < files; file++) {
      const bytes = mutated(next);
      const fault = (what: string) => faults.push(`file ${file} of seed ${seed}, ${bytes.length} bytes: ${what}`);
      const start = performance.now();
      try {
        const outcome = await outcomeOf(bytes);
        const milliseconds = performance.now() - start;
        if (milliseconds > slowest.milliseconds) slowest = { file, milliseconds };
        if (milliseconds > STUCK) fault("it took longer than a minute");
        const share = outcome.reserved / memoryBound(bytes.length);
        if (share > mostMemory.share) mostMemory = { file, share };
        if (share > 1) fault(`it asked for ${outcome.reserved} bytes`);
        const kind = outcome.result instanceof RapheError ? outcome.result.code : "mesh";
        outcomes[kind] = (outcomes[kind] ?? 0) + 1;
        const unsound =
          outcome.result instanceof RapheError ? faultOfError(outcome.result) : faultOfIntake(outcome.result);
        if (unsound !== null) fault(unsound);
      } catch (error) {
        fault(`no typed error but ${error instanceof Error ? error.stack : String(error)}`);
      }
    }
    return { outcomes, slowest, mostMemory, faults };
  });
}

function faultOfError({ code, subject, problem, remedy }: RapheError): string | null {
  if (code === "internal") return `an internal error: ${problem}`;
  if (subject !== "mutated" || problem === "" || remedy === "") return "an error that does not say what is wrong";
  return null;
}

function faultOfIntake({ mesh, report }: Intake): string | null {
  if (!mesh.positions.every(Number.isFinite)) return "a coordinate that is not finite";
  if (!mesh.triangles.every((corner) => corner < vertexCount(mesh))) return "a corner without a vertex";
  if (triangleCount(mesh) === 0) return "a mesh without triangles";
  const read = IntakeReport.safeParse(report);
  return read.success ? null : `a report that its schema refuses: ${read.error.message}`;
}

/** One line about a run, with its seed and its slowest file. */
export function mutationLine(seed: number, files: number, { outcomes, slowest, mostMemory }: MutationRun): string {
  const kinds = Object.entries(outcomes).sort((a, b) => b[1] - a[1]);
  return (
    `seed ${seed}, ${files} files: ${kinds.map(([kind, count]) => `${count} ${kind}`).join(", ")}; ` +
    `slowest file ${slowest.file} with ${slowest.milliseconds.toFixed(1)} ms; ` +
    `most memory file ${mostMemory.file} with ${(100 * mostMemory.share).toFixed(0)} % of the bound`
  );
}
