import { grouped } from "../grouped";
import { MAX_VERTICES } from "./limits";
import { scanError } from "./scan-errors";

/** A list of vertices in double precision, perhaps coloured, that grows by doubling up to the limit. */
export class GrowingVertices {
  count = 0;
  private positions: Float64Array;
  private channels: Uint8Array | null = null;
  private coloured = 0;

  /** @param expected vertices to reserve for; the caller has checked that the file can hold them */
  constructor(
    private readonly name: string,
    expected: number,
  ) {
    this.positions = new Float64Array(3 * Math.min(MAX_VERTICES, Math.max(64, expected)));
  }

  /** @throws RapheError `too-large` */
  add(x: number, y: number, z: number): void {
    const at = 3 * this.count;
    if (at + 3 > this.positions.length) {
      if (this.count >= MAX_VERTICES) {
        throw scanError("too-large", this.name, `more than ${grouped(MAX_VERTICES)} vertices`);
      }
      const grown = new Float64Array(3 * Math.min(MAX_VERTICES, 2 * this.count));
      grown.set(this.positions);
      this.positions = grown;
    }
    this.positions[at] = x;
    this.positions[at + 1] = y;
    this.positions[at + 2] = z;
    this.count++;
  }

  /** The colour of the vertex added last; channels run to 1, or to 255 where they exceed 1. */
  colour(red: number, green: number, blue: number): void {
    if (this.channels === null || this.channels.length < 3 * this.count) {
      const grown = new Uint8Array(this.positions.length);
      if (this.channels !== null) grown.set(this.channels);
      this.channels = grown;
    }
    [red, green, blue].forEach((value, i) => {
      const byte = Math.round(value <= 1 ? value * 255 : value);
      this.channels![3 * (this.count - 1) + i] = Math.max(0, Math.min(255, byte));
    });
    this.coloured++;
  }

  /** x, y, z of each vertex; a view that later additions may leave behind. */
  coordinates(): Float64Array {
    return this.positions.subarray(0, 3 * this.count);
  }

  /** Red, green, blue 0–255 of each vertex, if every vertex has a colour, else null. */
  colours(): Uint8Array | null {
    return this.channels !== null && this.coloured === this.count ? this.channels.subarray(0, 3 * this.count) : null;
  }
}
