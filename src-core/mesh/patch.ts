import type { Vector3 } from "../geometry/vector";
import type { Surface } from "./surface";

/** Position of a vertex, mm. */
export const vertexAt = (surface: Surface, vertex: number): Vector3 => {
  const p = surface.mesh.positions;
  return [p[3 * vertex]!, p[3 * vertex + 1]!, p[3 * vertex + 2]!];
};

/**
 * The vertices within `radius` (mm) of `centre` that can be reached from a triangle without leaving the ball: one
 * piece of surface, so that a neighbouring tooth across a gap takes no part.
 * @returns vertex numbers in the order of discovery
 */
export function connectedPatch(surface: Surface, seedTriangle: number, centre: Vector3, radius: number): number[] {
  const { triangles, positions } = surface.mesh;
  const limit = radius * radius;
  const inside = (vertex: number): boolean => {
    const x = positions[3 * vertex]! - centre[0];
    const y = positions[3 * vertex + 1]! - centre[1];
    const z = positions[3 * vertex + 2]! - centre[2];
    return x * x + y * y + z * z <= limit;
  };
  const seenTriangles = new Set<number>([seedTriangle]);
  const vertices = new Set<number>();
  const waiting = [seedTriangle];
  while (waiting.length > 0) {
    const triangle = waiting.pop()!;
    let touches = triangle === seedTriangle;
    for (let corner = 0; corner < 3; corner++) {
      const vertex = triangles[3 * triangle + corner]!;
      if (inside(vertex)) {
        vertices.add(vertex);
        touches = true;
      }
    }
    if (!touches) continue;
    for (let corner = 0; corner < 3; corner++) {
      const other = surface.opposite[3 * triangle + corner]!;
      if (other < 0) continue;
      const next = Math.floor(other / 3);
      if (!seenTriangles.has(next)) {
        seenTriangles.add(next);
        waiting.push(next);
      }
    }
  }
  return [...vertices];
}
