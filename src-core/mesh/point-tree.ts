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
  const split = (node: number, first: number, end: number): void => {
    if (end - first <= LEAF_POINTS) return;
    const axis = widestAxis(positions, order, first, end);
    const half = (first + end) >> 1;
    select(positions, order, first, end - 1, half, axis);
    axes[node] = axis;
    cuts[node] = positions[3 * order[half]! + axis]!;
    split(2 * node + 1, first, half);
    split(2 * node + 2, half, end);
  };
  split(0, 0, order.length);
  const points = new Float64Array(3 * order.length);
  for (let i = 0; i < order.length; i++) {
    const p = 3 * order[i]!;
    points[3 * i] = positions[p]!;
    points[3 * i + 1] = positions[p + 1]!;
    points[3 * i + 2] = positions[p + 2]!;
  }
  return { points, order, axes, cuts };
}

function widestAxis(positions: Float64Array, order: Uint32Array, first: number, end: number): number {
  let widest = 0;
  let width = -1;
  for (let axis = 0; axis < 3; axis++) {
    let low = Infinity;
    let high = -Infinity;
    for (let i = first; i < end; i++) {
      const value = positions[3 * order[i]! + axis]!;
      if (value < low) low = value;
      if (value > high) high = value;
    }
    if (high - low > width) {
      width = high - low;
      widest = axis;
    }
  }
  return widest;
}

/** Hoare's selection: afterwards nothing before `wanted` is larger on the axis, nothing behind it smaller. */
function select(
  positions: Float64Array,
  order: Uint32Array,
  first: number,
  last: number,
  wanted: number,
  axis: number,
): void {
  const value = (place: number): number => positions[3 * order[place]! + axis]!;
  let low = first;
  let high = last;
  while (low < high) {
    const a = value(low);
    const b = value((low + high) >> 1);
    const c = value(high);
    const pivot = Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
    let i = low;
    let j = high;
    while (i <= j) {
      while (value(i) < pivot) i++;
      while (value(j) > pivot) j--;
      if (i <= j) {
        const swapped = order[i]!;
        order[i] = order[j]!;
        order[j] = swapped;
        i++;
        j--;
      }
    }
    if (wanted <= j) high = j;
    else if (wanted >= i) low = i;
    else return;
  }
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
