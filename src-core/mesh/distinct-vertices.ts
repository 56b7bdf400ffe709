import { checkCancelled, type JobControl } from "../job-control";
import { poll } from "./polling";
import { VertexTable } from "./vertex-table";

/** So many vertices are looked up in one go. */
export const BLOCK = 2048;

/**
 * The vertices of a file as they come, each point kept once, in order of first appearance: vertices that a file repeats
 * never stand in memory all at once.
 */
export class DistinctVertices {
  /** x, y, z of vertices that wait for their numbers, in the precision in which they are kept. */
  private readonly block: Float32Array | Float64Array;
  /** Its bits. */
  private readonly words: Uint32Array;
  private waiting = 0;
  private numbered = 0;
  private readonly table: VertexTable;
  /** For each vertex so far the number of its point; grows by doubling. */
  private numbers: Uint32Array;

  /**
   * @param expected vertices to reserve for
   * @param expectedPoints how many different ones are likely; guesses that are too small only cost time
   */
  constructor(
    precision: "single" | "double",
    expected: number,
    expectedPoints: number,
    private readonly job: JobControl,
  ) {
    this.block = precision === "single" ? new Float32Array(3 * BLOCK) : new Float64Array(3 * BLOCK);
    this.words = new Uint32Array(this.block.buffer);
    this.table = new VertexTable(precision, expectedPoints);
    this.numbers = new Uint32Array(Math.max(64, expected));
  }

  /** Vertices so far. */
  get count(): number {
    return this.numbered + this.waiting;
  }

  /** Adds one vertex. @throws RapheError `cancelled` */
  add(x: number, y: number, z: number): void {
    const { block } = this;
    const to = 3 * this.waiting;
    block[to] = x;
    block[to + 1] = y;
    block[to + 2] = z;
    if (++this.waiting === BLOCK) this.numberWaiting();
  }

  /** Room for vertices that are to be added in one go: x, y, z each, 2048 of them. */
  emptyBlock(): Float32Array | Float64Array {
    this.numberWaiting();
    return this.block;
  }

  /** Adds the first vertices of the block. @throws RapheError `cancelled` */
  addBlock(count: number): void {
    this.waiting = count;
    this.numberWaiting();
  }

  /** The points, x, y, z in order of their numbers; a view that later vertices may leave behind. */
  points(): Float32Array | Float64Array {
    this.numberWaiting();
    return this.table.points();
  }

  /** For each vertex the number of its point; a view that later vertices may leave behind. */
  pointNumbers(): Uint32Array {
    this.numberWaiting();
    return this.numbers.subarray(0, this.numbered);
  }

  /** For each point the colour of its first vertex. @param colours red, green, blue 0–255 per vertex */
  firstColours(colours: Uint8Array): Uint8Array {
    const numbers = this.pointNumbers();
    const first = new Uint8Array(3 * this.table.count);
    // Backwards, so that the first vertex has the last word.
    for (let v = numbers.length - 1; v >= 0; v--) {
      for (let channel = 0; channel < 3; channel++) first[3 * numbers[v]! + channel] = colours[3 * v + channel]!;
    }
    return first;
  }

  private numberWaiting(): void {
    const { words, table } = this;
    const end = this.count;
    const numbers = this.roomFor(end);
    if (this.block instanceof Float32Array) {
      for (let v = this.numbered, w = 0; v < end; v++, w += 3) {
        numbers[v] = table.numberOfSingle(words[w]!, words[w + 1]!, words[w + 2]!);
      }
    } else {
      for (let v = this.numbered, w = 0; v < end; v++, w += 6) numbers[v] = table.numberOfDouble(words, w);
    }
    this.numbered = end;
    this.waiting = 0;
    checkCancelled(this.job);
  }

  private roomFor(count: number): Uint32Array {
    if (count > this.numbers.length) {
      const grown = new Uint32Array(Math.max(count, 2 * this.numbers.length));
      grown.set(this.numbers);
      this.numbers = grown;
    }
    return this.numbers;
  }
}

/** Writes over a triangle list: in place of the numbers of vertices those of their points. */
export function renumber(triangles: Uint32Array, pointNumbers: Uint32Array, job: JobControl): void {
  for (let i = 0; i < triangles.length; i++) {
    poll(job, i);
    triangles[i] = pointNumbers[triangles[i]!]!;
  }
}
