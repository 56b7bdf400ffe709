import { cbrt, ln } from "../geometry/real";

/**
 * A k-d tree over points, as plain typed arrays that can be moved between threads (Bentley 1975, Comm ACM 18:509).
 * The tree is balanced, so the range of places of a node follows from its number: node i has the children 2i + 1
 * (first half) and 2i + 2.
 */
export interface PointTree {
  /** Per place in tree order x, y, z of its point (mm) and the point's number. */
  readonly places: Float64Array;
  /** Per node the axis it is cut across, and where. */
  readonly axes: Uint8Array;
  readonly cuts: Float64Array;
}

const LEAF_POINTS = 10;

/**
 * Builds the tree: each node is cut at the median of its widest axis.
 * @param positions x, y, z per point, mm
 * @param members numbers of the points to take; all if left out
 */
export function buildPointTree(positions: Float64Array, members?: Uint32Array): PointTree {
  const count = members?.length ?? positions.length / 3;
  let nodes = 1;
  for (let n = count; n > LEAF_POINTS; n = (n + 1) >> 1) nodes = 2 * nodes + 1;
  const tree = {
    places: new Float64Array(4 * count),
    axes: new Uint8Array(nodes),
    cuts: new Float64Array(nodes),
  };
  for (let i = 0; i < count; i++) {
    const number = members === undefined ? i : members[i]!;
    tree.places[4 * i] = positions[3 * number]!;
    tree.places[4 * i + 1] = positions[3 * number + 1]!;
    tree.places[4 * i + 2] = positions[3 * number + 2]!;
    tree.places[4 * i + 3] = number;
  }
  split(tree, 0, 0, count);
  return tree;
}

function split(tree: PointTree, node: number, first: number, end: number): void {
  if (end - first <= LEAF_POINTS) return;
  const { places, axes, cuts } = tree;
  const axis = widestAxis(places, first, end);
  const half = (first + end) >> 1;
  select(places, first, end - 1, half, axis);
  axes[node] = axis;
  cuts[node] = places[4 * half + axis]!;
  split(tree, 2 * node + 1, first, half);
  split(tree, 2 * node + 2, half, end);
}

/** The axis along which the points at these places spread most; of equals the first. */
function widestAxis(places: Float64Array, first: number, end: number): number {
  let lowX = Infinity;
  let lowY = Infinity;
  let lowZ = Infinity;
  let highX = -Infinity;
  let highY = -Infinity;
  let highZ = -Infinity;
  for (let i = 4 * first; i < 4 * end; i += 4) {
    const x = places[i]!;
    const y = places[i + 1]!;
    const z = places[i + 2]!;
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

/** In ranges of more places the dividing value comes from a sample. */
const SAMPLED_ABOVE = 400;

/**
 * Reorders places low … high: afterwards nothing before `wanted` is larger on the axis, nothing behind it smaller.
 * Hoare's selection; in long ranges it divides at an order statistic of a sample that lies just beyond the wanted one, so
 * that little is left to be divided again (Floyd & Rivest 1975, Comm ACM 18:173, algorithm 489).
 */
function select(places: Float64Array, low: number, high: number, wanted: number, axis: number): void {
  while (low < high) {
    let pivot: number;
    if (high - low > SAMPLED_ABOVE) {
      const n = high - low + 1;
      const before = wanted - low + 1;
      const root = cbrt(n);
      const size = 0.5 * root * root;
      const beyond = 0.5 * Math.sqrt((ln(n) * size * (n - size)) / n) * (before < n / 2 ? -1 : 1);
      const from = Math.floor(wanted - (before * size) / n + beyond);
      const to = Math.floor(wanted + ((n - before) * size) / n + beyond);
      select(places, Math.max(low, from), Math.min(high, to), wanted, axis);
      pivot = places[4 * wanted + axis]!;
    } else {
      const a = places[4 * low + axis]!;
      const b = places[4 * ((low + high) >> 1) + axis]!;
      const c = places[4 * high + axis]!;
      pivot = Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
    }
    let i = 4 * low + axis;
    let j = 4 * high + axis;
    while (i <= j) {
      while (places[i]! < pivot) i += 4;
      while (places[j]! > pivot) j -= 4;
      if (i <= j) {
        exchange(places, i - axis, j - axis);
        i += 4;
        j -= 4;
      }
    }
    // Between the two lie only values equal to the pivot.
    if (4 * wanted + axis <= j) high = (j - axis) / 4;
    else if (4 * wanted + axis >= i) low = (i - axis) / 4;
    else return;
  }
}

/** Exchanges the four numbers from i on with those from j on. */
function exchange(places: Float64Array, i: number, j: number): void {
  const x = places[i]!;
  const y = places[i + 1]!;
  const z = places[i + 2]!;
  const number = places[i + 3]!;
  places[i] = places[j]!;
  places[i + 1] = places[j + 1]!;
  places[i + 2] = places[j + 2]!;
  places[i + 3] = places[j + 3]!;
  places[j] = x;
  places[j + 1] = y;
  places[j + 2] = z;
  places[j + 3] = number;
}

// One search at a time runs in a thread; 40 levels hold 2^43 points.
const LEVELS = 40;
const waitingNode = new Int32Array(LEVELS);
const waitingRange = new Int32Array(2 * LEVELS);
/** How far the query lies outside the node on each axis, and the squared distance. */
const waitingOutside = new Float64Array(4 * LEVELS);

/** Distances to nodes are carried along with rounding errors: a node is left out only where it is surely farther. */
const SURELY = 1 + 1e-12;

/**
 * Number of the point nearest to (x, y, z), the lowest of equally near ones; −1 if none is nearer than `maxDistance` (mm).
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
  const { places, axes, cuts } = tree;
  let best = maxDistance * maxDistance;
  let next = best;
  // What is farther away than this is of no interest.
  let bound = SURELY * best;
  let found = -1;
  let height = 0;
  let node = 0;
  let first = 0;
  let end = places.length / 4;
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
      if (farOutside <= bound) {
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
    for (let i = 4 * first; i < 4 * end; i += 4) {
      const dx = places[i]! - x;
      const dy = places[i + 1]! - y;
      const dz = places[i + 2]! - z;
      const squared = dx * dx + dy * dy + dz * dz;
      if (squared <= bound) {
        if (squared < best) {
          next = best;
          best = squared;
          found = i;
        } else {
          if (squared < next) next = squared;
          if (squared === best && found >= 0 && places[i + 3]! < places[found + 3]!) found = i;
        }
        bound = SURELY * (squaredDistances === undefined ? best : next);
      }
    }
    do {
      if (height === 0) {
        if (squaredDistances !== undefined) {
          squaredDistances[0] = best;
          squaredDistances[1] = next;
        }
        return found < 0 ? -1 : places[found + 3]!;
      }
      height--;
    } while (waitingOutside[4 * height + 3]! > bound);
    node = waitingNode[height]!;
    first = waitingRange[2 * height]!;
    end = waitingRange[2 * height + 1]!;
    outX = waitingOutside[4 * height]!;
    outY = waitingOutside[4 * height + 1]!;
    outZ = waitingOutside[4 * height + 2]!;
    outside = waitingOutside[4 * height + 3]!;
  }
}
