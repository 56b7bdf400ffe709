import { grouped } from "../grouped";
import { checkCancelled, type JobControl } from "../job-control";
import { STEPS_PER_POLL } from "../mesh/polling";
import { MAX_TRIANGLES } from "./limits";
import { scanError } from "./scan-errors";

/** A triangle list that grows as a file is read, up to the limit; looks at the cancel flag as it grows. */
export class GrowingTriangles {
  count = 0;
  private corners: Uint32Array;

  /** @param expected triangles to reserve for; the caller has checked that the file can hold them */
  constructor(
    private readonly name: string,
    expected: number,
    private readonly job: JobControl,
  ) {
    this.corners = new Uint32Array(3 * Math.min(MAX_TRIANGLES, Math.max(64, expected)));
  }

  /** @throws RapheError `too-large`, `cancelled` */
  add(a: number, b: number, c: number): void {
    const at = 3 * this.count;
    if (at + 3 > this.corners.length) this.grow();
    this.corners[at] = a;
    this.corners[at + 1] = b;
    this.corners[at + 2] = c;
    if (++this.count % STEPS_PER_POLL === 0) checkCancelled(this.job);
  }

  /** The triangles so far; a view that later additions may leave behind. */
  view(): Uint32Array {
    return this.corners.subarray(0, 3 * this.count);
  }

  private grow(): void {
    if (this.count >= MAX_TRIANGLES) {
      throw scanError("too-large", this.name, `more than ${grouped(MAX_TRIANGLES)} triangles`);
    }
    const grown = new Uint32Array(3 * Math.min(MAX_TRIANGLES, 2 * this.count));
    grown.set(this.corners);
    this.corners = grown;
  }
}
