/**
 * A k-d tree over points, as plain typed arrays that can be moved between threads (Bentley 1975, Comm ACM 18:509).
 * The tree is balanced, so the range of places of a node follows from its number: node i has the children 2i + 1
 * (first half) and 2i + 2.
 */
export interface PointTree {
  /** x, y, z of the points in tree order (mm). */
  readonly points: Float64Array;
  /** Number of the point for each place in tree order. */
  readonly order: Uint32Array;
  /** Per node the axis it is cut across, and where. */
  readonly axes: Uint8Array;
  readonly cuts: Float64Array;
}

const LEAF_POINTS = 8;

/**
 * Builds the tree: each node is cut at the median of its widest axis.
 * @param positions x, y, z per point, mm
 * @param members numbers of the points to take; all if left out
 */
export function buildPointTree(positions: Float64Array, members?: Uint32Array): PointTree {
  const order = members?.slice() ?? Uint32Array.from({ length: positions.length / 3 }, (_, i) => i);
  let nodes = 1;
  for (let n = order.length; n > LEAF_POINTS; n = (n + 1) >> 1) nodes = 2 * nodes + 1;
  const axes = new Uint8Array(nodes);
  const cuts = new Float64Array(nodes);
  const points = new Float64Array(3 * order.length);
  for (let i = 0; i < order.length; i++) {
    const p = 3 * order[i]!;
    points[3 * i] = positions[p]!;
    points[3 * i + 1] = positions[p + 1]!;
    points[3 * i + 2] = positions[p + 2]!;
  }
  const split = (node: number, first: number, end: number): void => {
    if (end - first <= LEAF_POINTS) return;
    const axis = widestAxis(points, first, end);
    const half = (first + end) >> 1;
    select(points, order, first, end - 1, half, axis);
    axes[node] = axis;
    cuts[node] = points[3 * half + axis]!;
    split(2 * node + 1, first, half);
    split(2 * node + 2, half, end);
  };
  split(0, 0, order.length);
  return { points, order, axes, cuts };
}

/** The axis along which the points at these places spread most; of equals the first. */
function widestAxis(points: Float64Array, first: number, end: number): number {
  let lowX = Infinity;
  let lowY = Infinity;
  let lowZ = Infinity;
  let highX = -Infinity;
  let highY = -Infinity;
  let highZ = -Infinity;
  for (let i = 3 * first; i < 3 * end; i += 3) {
    const x = points[i]!;
    const y = points[i + 1]!;
    const z = points[i + 2]!;
    if (x < lowX) lowX = x;
    if (y < lowY) lowY = y;
    if (z < lowZ) lowZ = z;
    if (x > highX) highX = x;
    if (y > highY) highY = y;
    if (z > highZ) highZ = z;
  }
  const x = highX - lowX;
  const y = highY - lowY;
  const z = highZ - lowZ;
  if (x >= y && x >= z) return 0;
  return y >= z ? 1 : 2;
}

/** Hoare's selection: afterwards nothing before `wanted` is larger on the axis, nothing behind it smaller. */
function select(
  points: Float64Array,
  order: Uint32Array,
  first: number,
  last: number,
  wanted: number,
  axis: number,
): void {
  let low = first;
  let high = last;
  while (low < high) {
    const a = points[3 * low + axis]!;
    const b = points[3 * ((low + high) >> 1) + axis]!;
    const c = points[3 * high + axis]!;
    const pivot = Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
    let i = low;
    let j = high;
    while (i <= j) {
      while (points[3 * i + axis]! < pivot) i++;
      while (points[3 * j + axis]! > pivot) j--;
      if (i <= j) {
        exchange(points, order, i, j);
        i++;
        j--;
      }
    }
    if (wanted <= j) high = j;
    else if (wanted >= i) low = i;
    else return;
  }
}

/** Puts the points of two places each in the other's place. */
function exchange(points: Float64Array, order: Uint32Array, i: number, j: number): void {
  const number = order[i]!;
  order[i] = order[j]!;
  order[j] = number;
  const x = points[3 * i]!;
  const y = points[3 * i + 1]!;
  const z = points[3 * i + 2]!;
  points[3 * i] = points[3 * j]!;
  points[3 * i + 1] = points[3 * j + 1]!;
  points[3 * i + 2] = points[3 * j + 2]!;
  points[3 * j] = x;
  points[3 * j + 1] = y;
  points[3 * j + 2] = z;
}

// One search at a time runs in a thread; 40 levels hold 2^43 points.
const LEVELS = 40;
const waitingNode = new Int32Array(LEVELS);
const waitingRange = new Int32Array(2 * LEVELS);
/** How far the query lies outside the node on each axis, and the squared distance. */
const waitingOutside = new Float64Array(4 * LEVELS);

/**
 * Number of the point nearest to (x, y, z); −1 if none is nearer than `maxDistance` (mm).
 * The distance to a node is carried along axis by axis (Arya & Mount 1993, Data Compression Conf. 381-390).
 * @param squaredDistances if given, filled with the squared distances of the nearest point and of the next one, or of
 *   `maxDistance` where there is none nearer; the search takes longer
 */
export function nearestPoint(
  tree: PointTree,
  x: number,
  y: number,
  z: number,
  maxDistance = Infinity,
  squaredDistances?: Float64Array,
): number {
  const { points, order, axes, cuts } = tree;
  let best = maxDistance * maxDistance;
  let next = best;
  // What is farther away than this is of no interest.
  let bound = best;
  let found = -1;
  let height = 0;
  let node = 0;
  let first = 0;
  let end = order.length;
  let outX = 0;
  let outY = 0;
  let outZ = 0;
  let outside = 0;
  for (;;) {
    while (end - first > LEAF_POINTS) {
      const axis = axes[node]!;
      const beyond = (axis === 0 ? x : axis === 1 ? y : z) - cuts[node]!;
      const half = (first + end) >> 1;
      const farOutside =
        outside - (axis === 0 ? outX * outX : axis === 1 ? outY * outY : outZ * outZ) + beyond * beyond;
      if (farOutside < bound) {
        waitingNode[height] = beyond < 0 ? 2 * node + 2 : 2 * node + 1;
        waitingRange[2 * height] = beyond < 0 ? half : first;
        waitingRange[2 * height + 1] = beyond < 0 ? end : half;
        waitingOutside[4 * height] = axis === 0 ? beyond : outX;
        waitingOutside[4 * height + 1] = axis === 1 ? beyond : outY;
        waitingOutside[4 * height + 2] = axis === 2 ? beyond : outZ;
        waitingOutside[4 * height + 3] = farOutside;
        height++;
      }
      if (beyond < 0) {
        node = 2 * node + 1;
        end = half;
      } else {
        node = 2 * node + 2;
        first = half;
      }
    }
    for (let i = first; i < end; i++) {
      const dx = points[3 * i]! - x;
      const dy = points[3 * i + 1]! - y;
      const dz = points[3 * i + 2]! - z;
      const squared = dx * dx + dy * dy + dz * dz;
      if (squared < bound) {
        if (squared < best) {
          next = best;
          best = squared;
          found = i;
        } else {
          next = squared;
        }
        bound = squaredDistances === undefined ? best : next;
      }
    }
    do {
      if (height === 0) {
        if (squaredDistances !== undefined) {
          squaredDistances[0] = best;
          squaredDistances[1] = next;
        }
        return found < 0 ? -1 : order[found]!;
      }
      height--;
    } while (waitingOutside[4 * height + 3]! >= bound);
    node = waitingNode[height]!;
    first = waitingRange[2 * height]!;
    end = waitingRange[2 * height + 1]!;
    outX = waitingOutside[4 * height]!;
    outY = waitingOutside[4 * height + 1]!;
    outZ = waitingOutside[4 * height + 2]!;
    outside = waitingOutside[4 * height + 3]!;
  }
}
