import type { BrushedSurface } from "./brush";
import { nextHalfEdge } from "./edges";

/**
 * A painted area grown over the surface by a distance, or shrunk by it: a triangle is reached where one of its corners
 * lies within the distance of the area, measured along the edges of the mesh. Such a way is longer than the straight one
 * (on an even mesh by up to a seventh), so the area grows that much less to some sides.
 * @param mask per triangle, 0 = not painted
 * @param by mm; negative shrinks. The open border of a scan is no rim: a shrunk area still reaches it.
 * @returns a new mask
 */
export function widened(
  surface: Pick<BrushedSurface, "positions" | "triangles">,
  mask: Uint8Array,
  by: number,
): Uint8Array {
  if (by < 0) return complement(widened(surface, complement(mask), -by));
  const away = distancesFrom(surface, mask, by);
  return mask.map((painted, t) => {
    if (painted !== 0) return 1;
    for (let corner = 0; corner < 3; corner++) {
      const distance = away[surface.triangles[3 * t + corner]!]!;
      // A triangle that only touches the area is not yet away from it.
      if (distance > 0 && distance <= by) return 1;
    }
    return 0;
  });
}

const complement = (mask: Uint8Array): Uint8Array => mask.map((painted) => (painted === 0 ? 1 : 0));

/** Shortest way along the edges from the painted triangles to each vertex, mm; Infinity beyond `limit`. */
function distancesFrom(
  { positions, triangles }: Pick<BrushedSurface, "positions" | "triangles">,
  mask: Uint8Array,
  limit: number,
): Float64Array {
  const away = new Float64Array(positions.length / 3).fill(Infinity);
  for (let t = 0; t < mask.length; t++) {
    if (mask[t] === 0) continue;
    for (let corner = 0; corner < 3; corner++) away[triangles[3 * t + corner]!] = 0;
  }
  // Round after round over all edges until nothing comes nearer: the distances asked for are a few edges long.
  for (let nearer = true; nearer; ) {
    nearer = false;
    for (let h = 0; h < triangles.length; h++) {
      const a = triangles[h]!;
      const b = triangles[nextHalfEdge(h)]!;
      const least = Math.min(away[a]!, away[b]!);
      if (!(least < limit)) continue;
      const x = positions[3 * a]! - positions[3 * b]!;
      const y = positions[3 * a + 1]! - positions[3 * b + 1]!;
      const z = positions[3 * a + 2]! - positions[3 * b + 2]!;
      const distance = least + Math.sqrt(x * x + y * y + z * z);
      if (distance > limit || distance >= Math.max(away[a]!, away[b]!)) continue;
      away[away[a]! > away[b]! ? a : b] = distance;
      nearer = true;
    }
  }
  return away;
}
