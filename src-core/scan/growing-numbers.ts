/** A list of whole numbers below 2³² that grows by doubling. */
export class GrowingNumbers {
  count = 0;
  private numbers = new Uint32Array(16);

  add(value: number): void {
    if (this.count === this.numbers.length) {
      const grown = new Uint32Array(2 * this.count);
      grown.set(this.numbers);
      this.numbers = grown;
    }
    this.numbers[this.count++] = value;
  }

  /** The numbers so far; a view that later additions may leave behind. */
  view(): Uint32Array {
    return this.numbers.subarray(0, this.count);
  }
}
