/** A hash of a lattice point and a seed, in [−1, 1). */
function lattice(x: number, y: number, z: number, seed: number): number {
  let h = Math.imul(x, 0x27d4eb2d) ^ Math.imul(y, 0x165667b1) ^ Math.imul(z, 0x9e3779b1) ^ Math.imul(seed, 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d);
  h = Math.imul(h ^ (h >>> 12), 0x297a2d39);
  return ((h ^ (h >>> 15)) >>> 0) / 2147483648 - 1;
}

function fade(t: number): number {
  return t * t * t * (t * (6 * t - 15) + 10);
}

/** The values of one square of the lattice, interpolated in x and y. */
function square(x: number, y: number, z: number, u: number, v: number, seed: number): number {
  const a = lattice(x, y, z, seed);
  const b = lattice(x + 1, y, z, seed);
  const c = lattice(x, y + 1, z, seed);
  const d = lattice(x + 1, y + 1, z, seed);
  const low = a + u * (b - a);
  return low + v * (c + u * (d - c) - low);
}

/**
 * Smooth random values in space, in [−1, 1], correlated over one unit: random numbers on the integer lattice,
 * interpolated by a quintic (Perlin 2002's fade curve). The variance at a lattice point is 1/3, about 0.11 on average.
 */
export function spatialNoise(x: number, y: number, z: number, seed: number): number {
  const ix = Math.floor(x);
  const iy = Math.floor(y);
  const iz = Math.floor(z);
  const u = fade(x - ix);
  const v = fade(y - iy);
  const w = fade(z - iz);
  const near = square(ix, iy, iz, u, v, seed);
  return near + w * (square(ix, iy, iz + 1, u, v, seed) - near);
}
