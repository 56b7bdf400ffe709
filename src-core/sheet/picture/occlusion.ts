import { cos, sin } from "../../geometry/real";

/** One picture's surface: depth in mm towards the eye (−Infinity: nothing) and unit normals (right, up, towards eye). */
export interface SeenSurface {
  readonly width: number;
  readonly height: number;
  readonly depth: Float32Array;
  readonly normals: Float32Array;
}

const DIRECTIONS = 16;
const STEPS = 4;
/** Neighbouring pixels look along other directions and distances, in this many ways; the blur joins what they saw. */
const WAYS = 8;
/** Rises over the horizon up to this (sine) hide nothing: noise of the scan. */
const FREE = 0.12;

/** Where a pixel looks, WAYS × DIRECTIONS / 2 × STEPS places of a picture with so many pixels in a row. */
interface Lookouts {
  /** Added to the pixel's own number in the picture. */
  readonly offset: Int32Array;
  /** mm to the right and upwards. */
  readonly right: Float64Array;
  readonly up: Float64Array;
}

function lookouts(radius: number, millimetresPerPixel: number, stride: number): Lookouts {
  const each = (DIRECTIONS / 2) * STEPS;
  const offset = new Int32Array(WAYS * each);
  const right = new Float64Array(WAYS * each);
  const up = new Float64Array(WAYS * each);
  for (let way = 0; way < WAYS; way++) {
    for (let i = 0; i < each; i++) {
      const angle = (2 * Math.PI * (2 * Math.floor(i / STEPS) + (way & 1))) / DIRECTIONS;
      const far = (((i % STEPS) + 0.4 + (way >> 1) / 4) / STEPS) * radius;
      const dx = Math.round(cos(angle) * far);
      const dy = Math.round(sin(angle) * far);
      offset[way * each + i] = dy * stride + dx;
      right[way * each + i] = dx * millimetresPerPixel;
      up[way * each + i] = -dy * millimetresPerPixel;
    }
  }
  return { offset, right, up };
}

/**
 * How much of the sky above each pixel its surroundings hide (0 open, 1 closed), from the depths in the picture alone
 * (screen-space ambient occlusion, Mittring 2007). This is what lets fissures, gaps between teeth and the gingival
 * margin read in soft light.
 * @param radius how far surroundings count, pixels
 * @param millimetresPerPixel size of a pixel, mm
 */
export function occlusion(surface: SeenSurface, radius: number, millimetresPerPixel: number): Float32Array {
  const { width, height, depth, normals } = surface;
  const hidden = new Float32Array(width * height);
  const reach = radius * millimetresPerPixel;
  // Nothing stands around the picture, so that no pixel has to ask whether it looks beyond the border.
  const around = Math.ceil(radius) + 1;
  const stride = width + 2 * around;
  const wide = new Float32Array(stride * (height + 2 * around)).fill(-Infinity);
  for (let y = 0; y < height; y++) {
    wide.set(depth.subarray(y * width, (y + 1) * width), (y + around) * stride + around);
  }
  const { offset, right, up } = lookouts(radius, millimetresPerPixel, stride);
  const each = (DIRECTIONS / 2) * STEPS;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const at = y * width + x;
      const here = depth[at]!;
      if (here === -Infinity) continue;
      const own = (y + around) * stride + x + around;
      const nx = normals[3 * at]!;
      const ny = normals[3 * at + 1]!;
      const nz = normals[3 * at + 2]!;
      const way = (((x & 1) << 2) | ((y & 1) << 1) | (((x >> 1) + (y >> 1)) & 1)) * each;
      let sum = 0;
      for (let d = way; d < way + each; d += STEPS) {
        let most = 0;
        for (let i = d; i < d + STEPS; i++) {
          const vx = right[i]!;
          const vy = up[i]!;
          const vz = wide[own + offset[i]!]! - here;
          const along = vx * nx + vy * ny + vz * nz;
          // Below the horizon, or nothing there.
          if (!(along > 0)) continue;
          const square = vx * vx + vy * vy + vz * vz;
          // Not even without the loss by distance would it hide more than what was seen before.
          if (!(along * along > (most + FREE) * (most + FREE) * square)) continue;
          const length = Math.sqrt(square);
          const weight = (along / length - FREE) * Math.max(0, 1 - (length / reach) * 0.55);
          if (weight > most) most = weight;
        }
        sum += most;
      }
      hidden[at] = sum / (DIRECTIONS / 2);
    }
  }
  return blurred(hidden, surface, reach);
}

/** Means over 4 × 4 pixels that lie on the same surface: what is joined is what the pattern above kept apart. */
function blurred(values: Float32Array, surface: SeenSurface, reach: number): Float32Array {
  const { width, height, depth } = surface;
  const smooth = new Float32Array(values.length);
  const allowed = Math.max(reach * 0.5, 0.15);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const at = y * width + x;
      const here = depth[at]!;
      if (here === -Infinity) continue;
      let sum = 0;
      let count = 0;
      for (let dy = -2; dy < 2; dy++) {
        for (let dx = -2; dx < 2; dx++) {
          const qx = x + dx;
          const qy = y + dy;
          if (qx < 0 || qy < 0 || qx >= width || qy >= height) continue;
          const q = qy * width + qx;
          if (Math.abs(depth[q]! - here) > allowed) continue;
          sum += values[q]!;
          count += 1;
        }
      }
      smooth[at] = sum / count;
    }
  }
  return smooth;
}
