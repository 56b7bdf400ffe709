/** A surface as a brush needs it: measuring mesh or its copy for drawing. */
export interface BrushedSurface {
  /** x, y, z per vertex, mm. */
  readonly positions: Float32Array | Float64Array;
  readonly triangles: Uint32Array;
  /** Opposite half-edges, −1 at the border. */
  readonly opposite: Int32Array;
}

type Triple = readonly [number, number, number];

/**
 * The triangles that a round brush reaches: those whose middle lies within `radius` (mm) of the point touched, that hang
 * together with the touched triangle over others of them, and that face the eye. So the brush does not reach through a
 * thin wall nor across to the neighbouring tooth. The touched triangle is always one of them.
 * @param seed the touched triangle
 * @param centre the touched point, coordinates of the surface
 * @param towardsEye direction from the surface to the eye, any length
 * @returns triangle numbers in the order of discovery
 */
export function brushed(
  surface: BrushedSurface,
  seed: number,
  centre: Triple,
  radius: number,
  towardsEye: Triple,
): number[] {
  const { triangles, positions, opposite } = surface;
  const reached = (t: number): boolean => {
    const a = 3 * triangles[3 * t]!;
    const b = 3 * triangles[3 * t + 1]!;
    const c = 3 * triangles[3 * t + 2]!;
    let squared = 0;
    for (let k = 0; k < 3; k++) {
      const off = (positions[a + k]! + positions[b + k]! + positions[c + k]!) / 3 - centre[k]!;
      squared += off * off;
    }
    if (squared > radius * radius) return false;
    const ux = positions[b]! - positions[a]!;
    const uy = positions[b + 1]! - positions[a + 1]!;
    const uz = positions[b + 2]! - positions[a + 2]!;
    const vx = positions[c]! - positions[a]!;
    const vy = positions[c + 1]! - positions[a + 1]!;
    const vz = positions[c + 2]! - positions[a + 2]!;
    const facing =
      (uy * vz - uz * vy) * towardsEye[0] + (uz * vx - ux * vz) * towardsEye[1] + (ux * vy - uy * vx) * towardsEye[2];
    return facing > 0;
  };
  const found = [seed];
  const seen = new Set(found);
  for (let i = 0; i < found.length; i++) {
    for (let corner = 0; corner < 3; corner++) {
      const other = opposite[3 * found[i]! + corner]!;
      if (other < 0) continue;
      const next = Math.floor(other / 3);
      if (seen.has(next)) continue;
      seen.add(next);
      if (reached(next)) found.push(next);
    }
  }
  return found;
}
