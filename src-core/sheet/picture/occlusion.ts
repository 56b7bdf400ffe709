import { cos, sin } from "../../geometry/real";

/** One picture's surface: depth in mm towards the eye (−Infinity: nothing) and unit normals (right, up, towards eye). */
export interface SeenSurface {
  readonly width: number;
  readonly height: number;
  readonly depth: Float32Array;
  readonly normals: Float32Array;
}

const DIRECTIONS = 16;
const directions = Array.from({ length: DIRECTIONS }, (_, i) => {
  const angle = (2 * Math.PI * i) / DIRECTIONS;
  return [cos(angle), sin(angle)] as const;
});
const STEPS = 4;

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
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const at = y * width + x;
      const here = depth[at]!;
      if (here === -Infinity) continue;
      const nx = normals[3 * at]!;
      const ny = normals[3 * at + 1]!;
      const nz = normals[3 * at + 2]!;
      // Neighbouring pixels look along other directions and distances; the blur below joins what they saw.
      const turn = (x + 2 * y) & 1;
      const shift = (((x & 1) << 1) | (y & 1)) / 4;
      let sum = 0;
      for (let d = turn; d < DIRECTIONS; d += 2) {
        const [cx, cy] = directions[d]!;
        let most = 0;
        for (let k = 0; k < STEPS; k++) {
          const far = ((k + 0.4 + shift) / STEPS) * radius;
          const dx = Math.round(cx * far);
          const dy = Math.round(cy * far);
          const qx = x + dx;
          const qy = y + dy;
          if ((dx === 0 && dy === 0) || qx < 0 || qy < 0 || qx >= width || qy >= height) continue;
          const there = depth[qy * width + qx]!;
          if (there === -Infinity) continue;
          const vx = dx * millimetresPerPixel;
          const vy = -dy * millimetresPerPixel;
          const vz = there - here;
          const length = Math.sqrt(vx * vx + vy * vy + vz * vz);
          const rise = (vx * nx + vy * ny + vz * nz) / length - 0.12;
          if (rise <= 0) continue;
          const near = Math.max(0, 1 - (length / reach) * 0.55);
          const weight = rise * near;
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
