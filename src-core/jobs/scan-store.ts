import { RapheError } from "../errors";
import { type Surface, surfaceOf } from "../mesh/surface";
import { type RegistrationSurface, registrationSurface } from "../registration/registration-surface";
import type { Intake } from "../scan/intake";
import type { ScanHandle } from "./job-list";

/** A scan as its owner keeps it. */
export interface KeptScan {
  readonly intake: Intake;
  readonly surface: Surface;
  /** What registration and distances need beside it; made when first asked for. */
  registration(): RegistrationSurface;
}

/** The scans that one worker (or the command line) owns, by handle. */
export class ScanStore {
  readonly #scans = new Map<ScanHandle, KeptScan>();
  #next = 1;

  /** Keeps a scan that was taken in, builds its tree and names it. */
  keep(intake: Intake): ScanHandle {
    const handle = `scan-${this.#next++}`;
    const surface = surfaceOf(intake.mesh);
    let registration: RegistrationSurface | null = null;
    this.#scans.set(handle, {
      intake,
      surface,
      registration: () => {
        registration ??= registrationSurface(surface);
        return registration;
      },
    });
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
