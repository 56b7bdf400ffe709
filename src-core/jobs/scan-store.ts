import { RapheError } from "../errors";
import { type Surface, surfaceOf } from "../mesh/surface";
import type { Intake } from "../scan/intake";
import type { ScanHandle } from "./job-list";

/** A scan as its owner keeps it. */
export interface KeptScan {
  readonly sha256: string;
  readonly intake: Intake;
  readonly surface: Surface;
}

/** The scans that one worker (or the command line) owns, by handle. */
export class ScanStore {
  readonly #scans = new Map<ScanHandle, KeptScan>();
  #next = 1;

  /** Keeps a scan that was taken in, builds its tree and names it. */
  keep(intake: Intake, sha256: string): ScanHandle {
    const handle = `scan-${this.#next++}`;
    this.#scans.set(handle, { sha256, intake, surface: surfaceOf(intake.mesh) });
    return handle;
  }

  /** @throws RapheError `bad-request` for a handle that names nothing */
  get(handle: ScanHandle): KeptScan {
    const scan = this.#scans.get(handle);
    if (scan === undefined) {
      throw new RapheError({
        code: "bad-request",
        subject: handle,
        problem: "this scan is no longer open",
        remedy: "Open it again",
      });
    }
    return scan;
  }

  forget(handle: ScanHandle): void {
    this.#scans.delete(handle);
  }
}
