import { type TriangleMesh, triangleCount } from "./triangle-mesh";

/**
 * A bounding-volume tree over the triangles of a mesh, as plain typed arrays that can be moved between threads.
 *
 * Node i holds the boxes of its two children, not its own: `boxes[12i …]` = lower x, y, z, upper x, y, z of the first
 * child, then of the second. `children[2i]`, `children[2i + 1]` say what they are: a node number ≥ 0, or a leaf,
 * written ~(8·first + count − 1), that is triangles first … first + count − 1 in tree order. An only leaf has an empty
 * box and no triangle beside it.
 */
export interface TriangleTree {
  readonly mesh: TriangleMesh;
  /** Single precision, rounded outwards: a box never leaves out a part of its triangles. */
  readonly boxes: Float32Array;
  readonly children: Int32Array;
  /** Triangle number in the mesh for each place in tree order. */
  readonly order: Uint32Array;
  /** The corners of the triangles in tree order, 9 numbers each (mm): one read from memory per leaf. */
  readonly corners: Float64Array;
}

/** A leaf holds at most this many triangles (3 bits of its code would allow 8). */
const LEAF_TRIANGLES = 6;
const BINS = 8;
/** An axis is thin if the centres spread less along it than this share of the widest axis. */
const THIN = 0.25;
/** Below this depth the tree is halved by count, which bounds its depth whatever the mesh looks like. */
const DEEPEST_SPLIT_BY_AREA = 40;
/** The longest way from the root: the depth above and one halving for each of the 2^28 triangles a leaf can name. */
export const DEEPEST = DEEPEST_SPLIT_BY_AREA + 30;
const EMPTY_LEAF = ~0;

/**
 * Builds the tree from the top down; each node is cut where the estimated search cost is least, among 8 places on
 * each axis (binned surface area heuristic, Wald 2007, IEEE Symp. Interactive Ray Tracing 33-40).
 * Time about n·log n; triangles without area are kept, they are points or lines that can be nearest too.
 */
export function buildTriangleTree(mesh: TriangleMesh): TriangleTree {
  return new Builder(mesh).build();
}

class Builder {
  readonly #mesh: TriangleMesh;
  readonly #count: number;
  /** Box of each triangle. */
  readonly #bounds: Float64Array;
  readonly #order: Uint32Array;
  readonly #boxes: Float32Array;
  readonly #children: Int32Array;
  #nodes = 0;
  /** Counts and boxes of the bins of the three axes. */
  readonly #binCounts = new Uint32Array(3 * BINS);
  readonly #binBoxes = new Float64Array(3 * BINS * 6);
  readonly #rightCosts = new Float64Array(BINS);
  readonly #sweep = new Float64Array(6);
  /** Box of the node, then box of its triangles' centres, doubled. */
  readonly #box = new Float64Array(12);

  constructor(mesh: TriangleMesh) {
    this.#mesh = mesh;
    this.#count = triangleCount(mesh);
    this.#bounds = triangleBounds(mesh);
    this.#order = new Uint32Array(this.#count);
    for (let t = 0; t < this.#count; t++) this.#order[t] = t;
    this.#boxes = new Float32Array(12 * Math.max(1, this.#count));
    this.#children = new Int32Array(2 * Math.max(1, this.#count));
  }

  build(): TriangleTree {
    if (this.#count <= LEAF_TRIANGLES) {
      this.#nodes = 1;
      this.#setChild(0, 0, this.#count);
      this.#children[0] = this.#count === 0 ? EMPTY_LEAF : leafCode(0, this.#count);
      this.#setChild(1, 0, 0);
      this.#children[1] = EMPTY_LEAF;
    } else {
      this.#splitAll();
    }
    const corners = new Float64Array(9 * this.#count);
    const { positions, triangles } = this.#mesh;
    for (let i = 0; i < this.#count; i++) {
      const t = this.#order[i]! * 3;
      for (let k = 0; k < 3; k++) {
        const v = triangles[t + k]! * 3;
        corners[9 * i + 3 * k] = positions[v]!;
        corners[9 * i + 3 * k + 1] = positions[v + 1]!;
        corners[9 * i + 3 * k + 2] = positions[v + 2]!;
      }
    }
    return {
      mesh: this.#mesh,
      boxes: this.#boxes.slice(0, 12 * this.#nodes),
      children: this.#children.slice(0, 2 * this.#nodes),
      order: this.#order,
      corners,
    };
  }

  #splitAll(): void {
    // Each entry: node, first, end, depth. A node is numbered before its children, so children lie close behind it.
    const waiting = new Int32Array(4 * (DEEPEST + 2));
    // What #box was for the entry.
    const waitingBoxes = new Float64Array(12 * (DEEPEST + 2));
    let height = 0;
    const push = (node: number, first: number, end: number, depth: number) => {
      waiting[height] = node;
      waiting[height + 1] = first;
      waiting[height + 2] = end;
      waiting[height + 3] = depth;
      waitingBoxes.set(this.#box, 3 * height);
      height += 4;
    };
    this.#nodes = 1;
    this.#boundsOf(0, this.#count);
    push(0, 0, this.#count, 0);
    while (height > 0) {
      height -= 4;
      const node = waiting[height]!;
      const first = waiting[height + 1]!;
      const end = waiting[height + 2]!;
      const depth = waiting[height + 3]!;
      for (let k = 0; k < 12; k++) this.#box[k] = waitingBoxes[3 * height + k]!;
      const cut = depth < DEEPEST_SPLIT_BY_AREA ? this.#partitionByArea(first, end) : (first + end) >> 1;
      // The second child goes on the stack first, so that the first child's nodes follow their parent.
      for (let side = 1; side >= 0; side--) {
        const from = side === 0 ? first : cut;
        const to = side === 0 ? cut : end;
        this.#setChild(2 * node + side, from, to);
        if (to - from <= LEAF_TRIANGLES) {
          this.#children[2 * node + side] = leafCode(from, to - from);
        } else {
          const child = this.#nodes++;
          this.#children[2 * node + side] = child;
          push(child, from, to, depth + 1);
        }
      }
    }
  }

  /** Writes the box of triangles first … end − 1 as that of a child, rounded outwards to single precision. */
  #setChild(child: number, first: number, end: number): void {
    const box = this.#box;
    this.#boundsOf(first, end);
    const empty = first === end;
    for (let k = 0; k < 3; k++) {
      this.#boxes[6 * child + k] = empty ? Infinity : box[k]! - Math.abs(box[k]!) * OUTWARDS;
      this.#boxes[6 * child + 3 + k] = empty ? -Infinity : box[3 + k]! + Math.abs(box[3 + k]!) * OUTWARDS;
    }
  }

  /** Sets #box to the box of the triangles, then that of twice their centres. */
  #boundsOf(first: number, end: number): void {
    const bounds = this.#bounds;
    const order = this.#order;
    // Numbers of their own and no array: this loop runs over every triangle at every depth.
    let lowX = Infinity;
    let lowY = Infinity;
    let lowZ = Infinity;
    let highX = -Infinity;
    let highY = -Infinity;
    let highZ = -Infinity;
    let leastX = Infinity;
    let leastY = Infinity;
    let leastZ = Infinity;
    let mostX = -Infinity;
    let mostY = -Infinity;
    let mostZ = -Infinity;
    for (let i = first; i < end; i++) {
      const b = 6 * order[i]!;
      const x0 = bounds[b]!;
      const y0 = bounds[b + 1]!;
      const z0 = bounds[b + 2]!;
      const x1 = bounds[b + 3]!;
      const y1 = bounds[b + 4]!;
      const z1 = bounds[b + 5]!;
      if (x0 < lowX) lowX = x0;
      if (y0 < lowY) lowY = y0;
      if (z0 < lowZ) lowZ = z0;
      if (x1 > highX) highX = x1;
      if (y1 > highY) highY = y1;
      if (z1 > highZ) highZ = z1;
      const x = x0 + x1;
      const y = y0 + y1;
      const z = z0 + z1;
      if (x < leastX) leastX = x;
      if (y < leastY) leastY = y;
      if (z < leastZ) leastZ = z;
      if (x > mostX) mostX = x;
      if (y > mostY) mostY = y;
      if (z > mostZ) mostZ = z;
    }
    const box = this.#box;
    box[0] = lowX;
    box[1] = lowY;
    box[2] = lowZ;
    box[3] = highX;
    box[4] = highY;
    box[5] = highZ;
    box[6] = leastX;
    box[7] = leastY;
    box[8] = leastZ;
    box[9] = mostX;
    box[10] = mostY;
    box[11] = mostZ;
  }

  /**
   * Reorders triangles first … end − 1, whose bounds #box holds, so that a good cut lies between two of them; returns the
   * place of the cut. A piece of surface is thin one way: that axis is not tried.
   */
  #partitionByArea(first: number, end: number): number {
    const box = this.#box;
    const bounds = this.#bounds;
    const order = this.#order;
    const counts = this.#binCounts.fill(0);
    const boxes = this.#binBoxes;
    boxes.set(EMPTY_BINS);
    const thin = THIN * Math.max(box[9]! - box[6]!, box[10]! - box[7]!, box[11]! - box[8]!);
    const scaleX = binScale(box[6]!, box[9]!, thin);
    const scaleY = binScale(box[7]!, box[10]!, thin);
    const scaleZ = binScale(box[8]!, box[11]!, thin);
    for (let i = first; i < end; i++) {
      const b = order[i]! * 6;
      for (let k = 0; k < 3; k++) {
        const scale = k === 0 ? scaleX : k === 1 ? scaleY : scaleZ;
        if (scale === 0) continue;
        const bin = Math.min(BINS - 1, ((bounds[b + k]! + bounds[b + 3 + k]! - box[6 + k]!) * scale) | 0) + k * BINS;
        counts[bin]!++;
        grow(boxes, bin * 6, bounds, b);
      }
    }
    let bestAxis = -1;
    let bestBin = 0;
    let bestCost = Infinity;
    const sweep = this.#sweep;
    for (let k = 0; k < 3; k++) {
      if ((k === 0 ? scaleX : k === 1 ? scaleY : scaleZ) === 0) continue;
      let count = 0;
      let cost = 0;
      emptyBox(sweep, 0);
      for (let bin = BINS - 1; bin > 0; bin--) {
        // Most bins of a small node are empty: nothing changes there.
        if (counts[k * BINS + bin]! > 0) {
          count += counts[k * BINS + bin]!;
          grow(sweep, 0, boxes, (k * BINS + bin) * 6);
          cost = count * halfSurface(sweep);
        }
        this.#rightCosts[bin] = cost;
      }
      const all = count + counts[k * BINS]!;
      count = 0;
      emptyBox(sweep, 0);
      for (let bin = 0; bin < BINS - 1; bin++) {
        // A cut behind an empty bin is that before it.
        if (counts[k * BINS + bin]! === 0) continue;
        count += counts[k * BINS + bin]!;
        grow(sweep, 0, boxes, (k * BINS + bin) * 6);
        const cost = count * halfSurface(sweep) + this.#rightCosts[bin + 1]!;
        if (count < all && cost < bestCost) {
          bestCost = cost;
          bestAxis = k;
          bestBin = bin;
        }
      }
    }
    if (bestAxis < 0) return (first + end) >> 1;
    const scale = bestAxis === 0 ? scaleX : bestAxis === 1 ? scaleY : scaleZ;
    const low = box[6 + bestAxis]!;
    let cut = first;
    for (let i = first; i < end; i++) {
      const t = order[i]!;
      const b = t * 6 + bestAxis;
      if (Math.min(BINS - 1, ((bounds[b]! + bounds[b + 3]! - low) * scale) | 0) <= bestBin) {
        order[i] = order[cut]!;
        order[cut] = t;
        cut++;
      }
    }
    return cut;
  }
}

/** More than the largest relative rounding error of single precision (2^-24). */
const OUTWARDS = 1.2e-7;

const leafCode = (first: number, count: number): number => ~(first * 8 + count - 1);

/** Bins per mm; 0 for an axis along which the centres spread no more than `thin`. */
const binScale = (low: number, high: number, thin: number): number =>
  high - low > thin ? (BINS * (1 - 1e-12)) / (high - low) : 0;

function emptyBox(boxes: Float64Array, at: number): void {
  for (let k = 0; k < 3; k++) {
    boxes[at + k] = Infinity;
    boxes[at + 3 + k] = -Infinity;
  }
}

/** The bins' boxes with nothing in them. */
const EMPTY_BINS = new Float64Array(3 * BINS * 6);
for (let i = 0; i < EMPTY_BINS.length; i += 6) emptyBox(EMPTY_BINS, i);

/** 0 for an empty box. */
function halfSurface(box: Float64Array): number {
  const x = box[3]! - box[0]!;
  if (x < 0) return 0;
  const y = box[4]! - box[1]!;
  const z = box[5]! - box[2]!;
  return x * y + y * z + z * x;
}

function grow(boxes: Float64Array, at: number, other: Float64Array, from: number): void {
  if (other[from]! < boxes[at]!) boxes[at] = other[from]!;
  if (other[from + 1]! < boxes[at + 1]!) boxes[at + 1] = other[from + 1]!;
  if (other[from + 2]! < boxes[at + 2]!) boxes[at + 2] = other[from + 2]!;
  if (other[from + 3]! > boxes[at + 3]!) boxes[at + 3] = other[from + 3]!;
  if (other[from + 4]! > boxes[at + 4]!) boxes[at + 4] = other[from + 4]!;
  if (other[from + 5]! > boxes[at + 5]!) boxes[at + 5] = other[from + 5]!;
}

/** Lower and upper corner of the box of each triangle. */
function triangleBounds(mesh: TriangleMesh): Float64Array {
  const { positions, triangles } = mesh;
  const bounds = new Float64Array(6 * triangleCount(mesh));
  for (let t = 0; t < triangleCount(mesh); t++) {
    const a = triangles[3 * t]! * 3;
    const b = triangles[3 * t + 1]! * 3;
    const c = triangles[3 * t + 2]! * 3;
    for (let k = 0; k < 3; k++) {
      bounds[6 * t + k] = Math.min(positions[a + k]!, positions[b + k]!, positions[c + k]!);
      bounds[6 * t + 3 + k] = Math.max(positions[a + k]!, positions[b + k]!, positions[c + k]!);
    }
  }
  return bounds;
}
