/** The colours of vertices in the order in which they come, some perhaps without; grows by doubling. */
export class GrowingColours {
  private channels = new Uint8Array(0);
  private coloured = 0;

  /** The colour of one vertex; channels run to 1, or to 255 where they exceed 1. */
  set(vertex: number, red: number, green: number, blue: number): void {
    if (this.channels.length < 3 * (vertex + 1)) {
      const grown = new Uint8Array(Math.max(3 * 64, 6 * (vertex + 1)));
      grown.set(this.channels);
      this.channels = grown;
    }
    [red, green, blue].forEach((value, i) => {
      const byte = Math.round(value <= 1 ? value * 255 : value);
      this.channels[3 * vertex + i] = Math.max(0, Math.min(255, byte));
    });
    this.coloured++;
  }

  /** Red, green, blue 0–255 of each of so many vertices, if every one has a colour, else null. */
  of(vertices: number): Uint8Array | null {
    return this.coloured === vertices ? this.channels.subarray(0, 3 * vertices) : null;
  }
}
