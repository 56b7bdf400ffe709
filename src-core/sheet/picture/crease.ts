import type { DepthBuffer } from "./depth-buffer";

/** How sharply a surface must fold inwards to be a crease at all, and to start one; 1/mm. */
const WEAK = 0.45;
const STRONG = 0.85;
/** Over which distance the folding is measured, mm. */
const REACH = 0.22;
/** Creases that are seen over a shorter way are noise of the scan, mm. */
const SHORTEST = 5;
/** Gaps in a crease that noise tears and that do not end it, mm. */
const GAP = 0.6;
/** Depth between neighbours beyond which they are not the same piece of surface, mm. */
const STEP = 0.8;

interface Fold {
  /** Subpixel place of the deepest folding, and the crease's direction there. */
  readonly x: number;
  readonly y: number;
  readonly alongX: number;
  readonly alongY: number;
  readonly strength: number;
}

/**
 * Creases of the surface in a picture: the gingival margin, fissures, folds between crowns. A pixel lies on a crease
 * where the normals' most inward change is sharper than beside it (non-maximum suppression and hysteresis as in
 * Canny 1986, IEEE TPAMI 8:679, on the change of the normals instead of the grey values).
 * @param normals right, up, towards the eye at each pixel of the buffer
 * @returns strokes: column and row of both ends in pixels, four numbers each
 */
export function creaseStrokes(buffer: DepthBuffer, normals: Float32Array, millimetresPerPixel: number): Float64Array {
  const { width, height } = buffer;
  const reach = Math.max(1, Math.round(REACH / millimetresPerPixel));
  const { strength: raw, across } = foldings(buffer, normals, reach, millimetresPerPixel);
  const strength = meansOfNine(raw, width, height);
  const folds: Fold[] = [];
  const foldAt = new Int32Array(width * height).fill(-1);
  for (let y = 1; y + 1 < height; y++) {
    for (let x = 1; x + 1 < width; x++) {
      const at = y * width + x;
      const here = strength[at]!;
      if (here < WEAK) continue;
      const ax = across[2 * at]!;
      const ay = across[2 * at + 1]!;
      const before = sampled(strength, width, height, x - ax, y - ay);
      const behind = sampled(strength, width, height, x + ax, y + ay);
      if (here < before || here <= behind) continue;
      // Top of the parabola through the three values.
      const bend = before - 2 * here + behind;
      const shift = bend < 0 ? Math.max(-0.5, Math.min(0.5, (before - behind) / (2 * bend))) : 0;
      foldAt[at] = folds.length;
      folds.push({
        x: x + 0.5 + shift * ax,
        y: y + 0.5 + shift * ay,
        alongX: -ay,
        alongY: ax,
        strength: here,
      });
    }
  }
  return Float64Array.from(
    connected(folds, foldAt, width, height, Math.max(1, Math.round(GAP / millimetresPerPixel))).flatMap((group) => {
      const length = group.length * millimetresPerPixel;
      if (length < SHORTEST || !group.some((f) => f.strength >= STRONG)) return [];
      return group.flatMap((f) => [f.x - f.alongX, f.y - f.alongY, f.x + f.alongX, f.y + f.alongY]);
    }),
  );
}

/** Per pixel how sharply the surface folds inwards (1/mm, 0 where it does not) and the direction across the fold. */
function foldings(
  buffer: DepthBuffer,
  normals: Float32Array,
  reach: number,
  millimetresPerPixel: number,
): { strength: Float32Array; across: Float32Array } {
  const { width, height, depth } = buffer;
  const strength = new Float32Array(width * height);
  const across = new Float32Array(2 * width * height);
  const span = 2 * reach * millimetresPerPixel;
  for (let y = reach; y + reach < height; y++) {
    for (let x = reach; x + reach < width; x++) {
      const at = y * width + x;
      const here = depth[at]!;
      if (here === -Infinity) continue;
      const [l, r, u, d] = [at - reach, at + reach, at - reach * width, at + reach * width];
      const apart = (a: number, b: number) => Math.abs(depth[a]! - depth[b]!) > STEP;
      if (apart(at, l) || apart(at, r) || apart(at, u) || apart(at, d)) continue;
      // Change of the normal's part in the picture's plane, columns to the right and rows downwards.
      const xx = (normals[3 * r]! - normals[3 * l]!) / span;
      const yy = -(normals[3 * d + 1]! - normals[3 * u + 1]!) / span;
      const xy = (normals[3 * d]! - normals[3 * u]! - (normals[3 * r + 1]! - normals[3 * l + 1]!)) / (2 * span);
      // Smaller eigenvalue of the symmetric 2 × 2 matrix: negative where the surface folds inwards.
      const half = (xx - yy) / 2;
      const root = Math.sqrt(half * half + xy * xy);
      const least = (xx + yy) / 2 - root;
      if (!(least < 0)) continue;
      strength[at] = -least;
      let ex = xy;
      let ey = least - xx;
      if (Math.abs(ex) + Math.abs(ey) < 1e-9) {
        ex = xx <= yy ? 1 : 0;
        ey = 1 - ex;
      }
      const length = Math.sqrt(ex * ex + ey * ey);
      across[2 * at] = ex / length;
      across[2 * at + 1] = ey / length;
    }
  }
  return { strength, across };
}

/** A value between pixels, bilinear. */
function sampled(values: Float32Array, width: number, height: number, x: number, y: number): number {
  const left = Math.min(width - 2, Math.max(0, Math.floor(x)));
  const top = Math.min(height - 2, Math.max(0, Math.floor(y)));
  const a = x - left;
  const b = y - top;
  const at = top * width + left;
  return (
    (values[at]! * (1 - a) + values[at + 1]! * a) * (1 - b) +
    (values[at + width]! * (1 - a) + values[at + width + 1]! * a) * b
  );
}

/** Means over 3 × 3 pixels; the outermost pixels stay as they are. */
function meansOfNine(values: Float32Array, width: number, height: number): Float32Array {
  const means = values.slice();
  for (let y = 1; y + 1 < height; y++) {
    for (let x = 1; x + 1 < width; x++) {
      const at = y * width + x;
      let sum = 0;
      for (let row = at - width; row <= at + width; row += width) {
        sum += values[row - 1]! + values[row]! + values[row + 1]!;
      }
      means[at] = sum / 9;
    }
  }
  return means;
}

/** Groups of folds no farther apart than `gap` pixels, in order of their first fold. */
function connected(folds: readonly Fold[], foldAt: Int32Array, width: number, height: number, gap: number): Fold[][] {
  const taken = new Uint8Array(folds.length);
  const groups: Fold[][] = [];
  for (let first = 0; first < folds.length; first++) {
    if (taken[first] === 1) continue;
    taken[first] = 1;
    const group: Fold[] = [];
    const open = [first];
    for (let next = open.pop(); next !== undefined; next = open.pop()) {
      const fold = folds[next]!;
      group.push(fold);
      const [column, row] = [Math.floor(fold.x), Math.floor(fold.y)];
      for (let y = Math.max(0, row - gap); y <= Math.min(height - 1, row + gap); y++) {
        for (let x = Math.max(0, column - gap); x <= Math.min(width - 1, column + gap); x++) {
          const near = foldAt[y * width + x]!;
          if (near < 0 || taken[near] === 1) continue;
          taken[near] = 1;
          open.push(near);
        }
      }
    }
    groups.push(group);
  }
  return groups;
}
