import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";
import { bytesSource } from "#core/scan/byte-source";
import { takeIn } from "#core/scan/intake";

setFlagsFromString("--expose-gc");
const collectGarbage = runInNewContext("gc") as () => void;

/** Bytes of all typed arrays that are still in use. */
function arraysInUse(): number {
  collectGarbage();
  collectGarbage();
  return process.memoryUsage().arrayBuffers;
}

/** What taking a scan in holds at most, looked at each time the work asks whether it is cancelled. */
export interface PeakMemory {
  /** Bytes of the final mesh with its fragments and colours. */
  readonly mesh: number;
  /** The most bytes in typed arrays at once, beyond what was there before and the piece being read. */
  readonly peak: number;
  /** What the work was doing then. */
  readonly during: string;
}

/** @param pieceBytes size of the pieces in which the file comes */
export async function peakMemoryOf(bytes: Uint8Array, pieceBytes = 1024 * 1024): Promise<PeakMemory> {
  const before = arraysInUse();
  let peak = 0;
  let doing = "";
  let during = "";
  const job = {
    progress(_: number, now?: string) {
      doing = now ?? doing;
    },
    cancelled() {
      // Garbage only adds: where all of it together is no new peak, it need not be collected.
      if (process.memoryUsage().arrayBuffers - before <= peak) return false;
      const inUse = arraysInUse() - before;
      if (inUse > peak) {
        peak = inUse;
        during = doing;
      }
      return false;
    },
  };
  const { mesh, fragments, colours } = await takeIn(bytesSource("scan", bytes, pieceBytes), {}, job);
  const sizes = [mesh, fragments].map((part) =>
    part === null ? 0 : part.positions.byteLength + part.triangles.byteLength + part.fileTriangles.byteLength,
  );
  return { mesh: sizes[0]! + sizes[1]! + (colours?.byteLength ?? 0), peak, during };
}
