/**
 * Numbers points by their exact coordinates: equal points get one number, in order of first appearance.
 * Open addressing with linear probing over the coordinates' bits (IEEE 754); nothing is rounded or cut off, −0 counts
 * as 0. A table holds points of one precision.
 */
export class VertexTable {
  /** Distinct points so far. */
  count = 0;
  /** Coordinates as bits, `words` a point; grows by half. */
  private bits: Uint32Array;
  /** Point number + 1 per slot, 0 = free. At most half full. */
  private slots: Int32Array;
  private mask: number;
  private readonly words: 3 | 6;

  /** @param expected how many distinct points are likely; a guess that is too small only costs time. */
  constructor(precision: "single" | "double", expected: number) {
    this.words = precision === "single" ? 3 : 6;
    this.bits = new Uint32Array(this.words * Math.max(64, expected));
    const size = slotCount(Math.max(64, expected));
    this.slots = new Int32Array(size);
    this.mask = size - 1;
  }

  /** The number of the point with these single-precision bits. */
  numberOfSingle(xBits: number, yBits: number, zBits: number): number {
    const x = xBits === SIGN ? 0 : xBits;
    const y = yBits === SIGN ? 0 : yBits;
    const z = zBits === SIGN ? 0 : zBits;
    const { slots, mask, bits } = this;
    let slot = mix(mix(mix(0, x), y), z) & mask;
    for (let found = slots[slot]!; found !== 0; found = slots[slot]!) {
      const at = 3 * (found - 1);
      if (bits[at] === x && bits[at + 1] === y && bits[at + 2] === z) return found - 1;
      slot = (slot + 1) & mask;
    }
    const at = this.room();
    this.bits[at] = x;
    this.bits[at + 1] = y;
    this.bits[at + 2] = z;
    return this.enter(slot);
  }

  /** The number of the point whose double-precision bits stand at `at` (6 words) in `source`. */
  numberOfDouble(source: Uint32Array, at: number): number {
    const x0 = source[at]!;
    const y0 = source[at + 2]!;
    const z0 = source[at + 4]!;
    const x1 = unsigned(x0, source[at + 1]!);
    const y1 = unsigned(y0, source[at + 3]!);
    const z1 = unsigned(z0, source[at + 5]!);
    const { slots, mask, bits } = this;
    let slot = mix(mix(mix(mix(mix(mix(0, x0), x1), y0), y1), z0), z1) & mask;
    for (let found = slots[slot]!; found !== 0; found = slots[slot]!) {
      const b = 6 * (found - 1);
      if (
        bits[b] === x0 &&
        bits[b + 1] === x1 &&
        bits[b + 2] === y0 &&
        bits[b + 3] === y1 &&
        bits[b + 4] === z0 &&
        bits[b + 5] === z1
      ) {
        return found - 1;
      }
      slot = (slot + 1) & mask;
    }
    const end = this.room();
    this.bits[end] = x0;
    this.bits[end + 1] = x1;
    this.bits[end + 2] = y0;
    this.bits[end + 3] = y1;
    this.bits[end + 4] = z0;
    this.bits[end + 5] = z1;
    return this.enter(slot);
  }

  /** The distinct points, x, y, z in order of their numbers; a view on the table, valid until the next new point. */
  points(): Float32Array | Float64Array {
    return this.words === 3
      ? new Float32Array(this.bits.buffer, 0, 3 * this.count)
      : new Float64Array(this.bits.buffer, 0, 3 * this.count);
  }

  /** Makes room for one more point and says where its words go. */
  private room(): number {
    const at = this.words * this.count;
    if (at + this.words > this.bits.length) {
      const grown = new Uint32Array(this.words * Math.ceil((this.count + 1) * 1.5));
      grown.set(this.bits);
      this.bits = grown;
    }
    return at;
  }

  /** Enters the point just written under a free slot. */
  private enter(slot: number): number {
    const number = this.count;
    this.slots[slot] = number + 1;
    this.count = number + 1;
    if (2 * this.count > this.slots.length) this.rehash();
    return number;
  }

  private rehash(): void {
    const { bits, words } = this;
    this.slots = new Int32Array(2 * this.slots.length);
    this.mask = this.slots.length - 1;
    for (let number = 0; number < this.count; number++) {
      let hash = 0;
      for (let w = 0; w < words; w++) hash = mix(hash, bits[words * number + w]!);
      let slot = hash & this.mask;
      while (this.slots[slot] !== 0) slot = (slot + 1) & this.mask;
      this.slots[slot] = number + 1;
    }
  }
}

const SIGN = 0x80000000;

/** The high word of a double, without the sign of −0. */
const unsigned = (low: number, high: number): number => (high === SIGN && low === 0 ? 0 : high);

/** The power of two that holds `entries` at most half full. */
export function slotCount(entries: number): number {
  let size = 128;
  while (size < 2 * entries) size *= 2;
  return size;
}

/** Mixes a word into a hash; each step is a part of MurmurHash3's finaliser (A. Appleby 2008, public domain). */
export function mix(hash: number, word: number): number {
  const h = Math.imul(hash ^ word, 0x85ebca6b);
  const g = Math.imul(h ^ (h >>> 15), 0xc2b2ae35);
  return g ^ (g >>> 13);
}
