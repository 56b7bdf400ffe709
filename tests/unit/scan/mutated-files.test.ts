import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { RapheError } from "#core/errors";
import { UNWATCHED } from "#core/job-control";
import { triangleCount, vertexCount } from "#core/mesh/triangle-mesh";
import { bytesSource } from "#core/scan/byte-source";
import { type Intake, takeIn } from "#core/scan/intake";
import { IntakeReport } from "#core/scan/intake-report";
import { mutated, random, SOUND } from "./mutated-files";
import { text } from "./scan-files";

const SEED = Number(process.env.RAPHE_MUTATION_SEED ?? 20_265);
const FILES = Number(process.env.RAPHE_MUTATIONS ?? 2000);

/** Bytes that typed arrays asked for since the last reset. */
let reserved = 0;

/** A typed array class that counts what is reserved through it. */
function counting<T extends abstract new (...args: never[]) => { byteLength: number; buffer: ArrayBufferLike }>(
  original: T,
): T {
  return new Proxy(original, {
    construct(target, args, newTarget) {
      const made = Reflect.construct(target as never, args, newTarget === proxyOf(target) ? target : newTarget) as {
        byteLength: number;
      };
      if (!(args[0] instanceof ArrayBuffer)) reserved += made.byteLength;
      return made;
    },
  });
}
const proxies = new Map<unknown, unknown>();
const proxyOf = (target: unknown): unknown => proxies.get(target);

const COUNTED = ["Uint8Array", "Int32Array", "Uint32Array", "Float32Array", "Float64Array"] as const;

beforeEach(() => {
  for (const name of COUNTED) {
    const original = globalThis[name];
    const proxy = counting(original as never);
    proxies.set(original, proxy);
    vi.stubGlobal(name, proxy);
  }
});
afterEach(() => {
  vi.unstubAllGlobals();
});

/** What every reader and the welding may reserve: fixed buffers, and a multiple of the file. */
const bound = (size: number): number => 400_000 + 60 * size;

async function outcome(bytes: Uint8Array): Promise<Intake | RapheError> {
  try {
    return await takeIn(bytesSource("mutated", bytes, 4096), {}, UNWATCHED);
  } catch (error) {
    if (error instanceof RapheError) return error;
    throw error;
  }
}

describe("files made wrong", () => {
  it("end in a sound mesh or a typed error, and never ask for memory that their size does not warrant", async () => {
    const next = random(SEED);
    const outcomes = new Map<string, number>();
    let slowest = { milliseconds: 0, file: -1 };
    for (let file = 0; file < FILES; file++) {
      const bytes = mutated(next);
      reserved = 0;
      const start = performance.now();
      const result = await outcome(bytes).catch((error: unknown) => {
        throw new Error(`file ${file} of seed ${SEED}`, { cause: error });
      });
      const milliseconds = performance.now() - start;
      if (milliseconds > slowest.milliseconds) slowest = { milliseconds, file };
      expect(reserved, `file ${file} of seed ${SEED}, ${bytes.length} bytes`).toBeLessThan(bound(bytes.length));
      const kind = result instanceof RapheError ? result.code : "mesh";
      outcomes.set(kind, (outcomes.get(kind) ?? 0) + 1);
      if (result instanceof RapheError) {
        expect(result.subject).toBe("mutated");
        expect(result.code).not.toBe("internal");
      } else {
        const { mesh, report } = result;
        expect(mesh.positions.every(Number.isFinite), `file ${file} of seed ${SEED}`).toBe(true);
        expect(mesh.triangles.every((corner) => corner < vertexCount(mesh))).toBe(true);
        expect(triangleCount(mesh)).toBeGreaterThan(0);
        expect(() => IntakeReport.parse(report), `file ${file} of seed ${SEED}`).not.toThrow();
      }
    }
    console.log(
      `seed ${SEED}, ${FILES} files: ${[...outcomes].map(([kind, count]) => `${count} ${kind}`).join(", ")}; ` +
        `slowest file ${slowest.file} with ${slowest.milliseconds.toFixed(1)} ms`,
    );
    // The changes must reach every way out, or the test says little.
    for (const kind of ["mesh", "truncated", "malformed", "not-finite", "unknown-format"]) {
      expect(outcomes.get(kind), kind).toBeGreaterThan(FILES / 200);
    }
  });

  it("were sound before", async () => {
    for (const bytes of SOUND) {
      expect(bytes.length).toBeLessThanOrEqual(8192);
      reserved = 0;
      const result = await outcome(bytes);
      expect(result).not.toBeInstanceOf(RapheError);
      // What is reserved is really counted.
      expect(reserved).toBeGreaterThan(bytes.length);
    }
  });

  it.each(["the count of a binary STL", "the vertices of a PLY", "the faces of a PLY", "a list of a PLY"])(
    "with a huge number in %s are refused before memory is asked for",
    async (what) => {
      const bytes = SOUND[what.includes("STL") ? 0 : 4]!.slice();
      const view = new DataView(bytes.buffer);
      if (what.includes("STL")) view.setUint32(80, 19_999_999, true);
      else if (what.includes("list")) view.setUint32(bytes.length - 36, 0x7fff_ffff, true);
      else {
        // The digits take the place of the comment, so that the header keeps its length.
        const letters = new TextDecoder("latin1").decode(bytes);
        const word = what.includes("faces") ? "face 50" : "vertex 150";
        const header = letters.slice(0, letters.indexOf("end_header")).replace("comment invented", "comment");
        bytes.set(text(header.replace(word, `${word}${"0".repeat(9)}`)));
      }
      reserved = 0;
      const result = await outcome(bytes);
      expect(result).toMatchObject({ code: "truncated" });
      expect(reserved).toBeLessThan(bound(bytes.length));
    },
  );
});
