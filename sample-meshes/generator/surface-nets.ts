import type { RigidTransform } from "#core/geometry/rigid-transform";
import type { Field } from "./arch-field";

/** Triangles with shared vertices: positions x, y, z in mm, three vertex numbers a triangle, counter-clockwise from outside. */
export interface SurfaceMesh {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
}

/** A grid laid over the model: `toModel` turns and shifts it, so that no two scans share their vertices. */
export interface Grid {
  readonly spacing: number;
  readonly toModel: RigidTransform;
  /** Lowest corner and size in the grid's own axes, mm. */
  readonly corner: readonly [number, number, number];
  readonly size: readonly [number, number, number];
}

const BLOCK = 4;

/**
 * The zero level of a field by naive surface nets (Gibson 1998): one vertex per grid cell that the surface passes,
 * the mean of the crossings of its edges; one square per crossed grid edge. Blocks of 4 × 4 × 4 cells whose middle
 * lies far from the surface, or where `wanted` says no, are skipped.
 */
export function surfaceNets(
  field: Field,
  grid: Grid,
  wanted: (x: number, y: number, z: number, reach: number) => boolean,
): SurfaceMesh {
  const h = grid.spacing;
  const blocks = grid.size.map((s) => Math.ceil(s / (h * BLOCK))) as [number, number, number];
  const [nx, ny, nz] = blocks.map((b) => b * BLOCK + 1) as [number, number, number];
  const values = new Float32Array(nx * ny * nz).fill(Number.NaN);
  const r = grid.toModel.rotation;
  const t = grid.toModel.translation;
  const sample = (i: number, j: number, k: number) => {
    const gx = grid.corner[0] + i * h;
    const gy = grid.corner[1] + j * h;
    const gz = grid.corner[2] + k * h;
    return [
      r[0] * gx + r[1] * gy + r[2] * gz + t[0],
      r[3] * gx + r[4] * gy + r[5] * gz + t[1],
      r[6] * gx + r[7] * gy + r[8] * gz + t[2],
    ] as const;
  };
  const reach = (BLOCK / 2) * h * 1.7321;
  for (let bk = 0; bk < blocks[2]; bk++) {
    for (let bj = 0; bj < blocks[1]; bj++) {
      for (let bi = 0; bi < blocks[0]; bi++) {
        const middle = sample((bi + 0.5) * BLOCK, (bj + 0.5) * BLOCK, (bk + 0.5) * BLOCK);
        if (!wanted(...middle, reach)) continue;
        if (Math.abs(field.evaluate(...middle)) > reach * 1.6 + 0.2) continue;
        for (let k = bk * BLOCK; k <= bk * BLOCK + BLOCK; k++) {
          for (let j = bj * BLOCK; j <= bj * BLOCK + BLOCK; j++) {
            for (let i = bi * BLOCK; i <= bi * BLOCK + BLOCK; i++) {
              const at = (k * ny + j) * nx + i;
              if (Number.isNaN(values[at]!)) values[at] = field.evaluate(...sample(i, j, k));
            }
          }
        }
      }
    }
  }
  return netsOf(values, [nx, ny, nz], (x, y, z) => sample(x, y, z));
}

function netsOf(
  values: Float32Array,
  [nx, ny, nz]: readonly [number, number, number],
  toModel: (i: number, j: number, k: number) => readonly [number, number, number],
): SurfaceMesh {
  const layer = nx * ny;
  const corners = [0, 1, nx, nx + 1, layer, layer + 1, layer + nx, layer + nx + 1];
  const vertexOf = new Int32Array(values.length).fill(-1);
  const positions: number[] = [];
  for (let k = 0; k < nz - 1; k++) {
    for (let j = 0; j < ny - 1; j++) {
      for (let i = 0; i < nx - 1; i++) {
        const at = k * layer + j * nx + i;
        let inside = 0;
        let known = true;
        for (const c of corners) {
          const f = values[at + c]!;
          if (Number.isNaN(f)) known = false;
          else if (f < 0) inside++;
        }
        if (!known || inside === 0 || inside === 8) continue;
        let sx = 0;
        let sy = 0;
        let sz = 0;
        let crossings = 0;
        for (let a = 0; a < 8; a++) {
          const fa = values[at + corners[a]!]!;
          for (let bit = 1; bit < 8; bit <<= 1) {
            if ((a & bit) !== 0) continue;
            const fb = values[at + corners[a | bit]!]!;
            if (fa < 0 === fb < 0) continue;
            const share = fa / (fa - fb);
            sx += (a & 1) + (bit === 1 ? share : 0);
            sy += ((a >> 1) & 1) + (bit === 2 ? share : 0);
            sz += ((a >> 2) & 1) + (bit === 4 ? share : 0);
            crossings++;
          }
        }
        vertexOf[at] = positions.length / 3;
        positions.push(...toModel(i + sx / crossings, j + sy / crossings, k + sz / crossings));
      }
    }
  }
  const triangles: number[] = [];
  const square = (a: number, b: number, c: number, d: number) => {
    const [p, q, r, s] = [vertexOf[a]!, vertexOf[b]!, vertexOf[c]!, vertexOf[d]!];
    if (p < 0 || q < 0 || r < 0 || s < 0) return;
    const apart = (m: number, n: number) => {
      const x = positions[m * 3]! - positions[n * 3]!;
      const y = positions[m * 3 + 1]! - positions[n * 3 + 1]!;
      const z = positions[m * 3 + 2]! - positions[n * 3 + 2]!;
      return x * x + y * y + z * z;
    };
    if (apart(p, r) <= apart(q, s)) triangles.push(p, q, r, p, r, s);
    else triangles.push(p, q, s, q, r, s);
  };
  for (let k = 1; k < nz - 1; k++) {
    for (let j = 1; j < ny - 1; j++) {
      for (let i = 1; i < nx - 1; i++) {
        const at = k * layer + j * nx + i;
        const f = values[at]!;
        if (Number.isNaN(f)) continue;
        const axes = [
          [1, nx, layer],
          [nx, layer, 1],
          [layer, 1, nx],
        ] as const;
        for (const [along, second, third] of axes) {
          const g = values[at + along]!;
          if (Number.isNaN(g) || f < 0 === g < 0) continue;
          const ring = [at - second - third, at - third, at, at - second] as const;
          if (f < 0) square(...ring);
          else square(ring[3], ring[2], ring[1], ring[0]);
        }
      }
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}
