import { seededRandom } from "#core/geometry/seeded-random";
import { sampleSurface } from "#core/mesh/sample-surface";
import type { TriangleMesh } from "#core/mesh/triangle-mesh";

export const QUERIES = 100_000;

/** Points within 3 mm of the surface, in no order. */
export function queriesNear(mesh: TriangleMesh): Float64Array {
  const random = seededRandom(7);
  const points = sampleSurface(mesh, QUERIES, 7).positions.map((value) => value + 3.4 * (random() - 0.5));
  for (let i = QUERIES - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    for (let k = 0; k < 3; k++) {
      const kept = points[3 * i + k]!;
      points[3 * i + k] = points[3 * j + k]!;
      points[3 * j + k] = kept;
    }
  }
  return points;
}
