import type { Surface } from "../mesh/surface";
import { triangleArea } from "../mesh/triangle-area";
import { triangleCount } from "../mesh/triangle-mesh";

/**
 * Of the chosen vertices those that belong to the largest connected piece of surface (by area), two triangles being
 * connected over a shared edge. Of equally large pieces the one with the first triangle.
 * @param chosen per vertex, 0 = not chosen; a triangle belongs to a piece if all three corners are chosen
 */
export function largestPart(surface: Surface, chosen: Uint8Array): Uint8Array {
  const { triangles } = surface.mesh;
  const count = triangleCount(surface.mesh);
  const belongs = (t: number): boolean =>
    chosen[triangles[3 * t]!]! !== 0 && chosen[triangles[3 * t + 1]!]! !== 0 && chosen[triangles[3 * t + 2]!]! !== 0;
  const part = new Int32Array(count).fill(-1);
  let parts = 0;
  let largest = -1;
  let largestArea = 0;
  const waiting: number[] = [];
  for (let seed = 0; seed < count; seed++) {
    if (part[seed]! >= 0 || !belongs(seed)) continue;
    let area = 0;
    part[seed] = parts;
    waiting.push(seed);
    for (let t = waiting.pop(); t !== undefined; t = waiting.pop()) {
      area += triangleArea(surface.mesh, t);
      for (let corner = 0; corner < 3; corner++) {
        const opposite = surface.opposite[3 * t + corner]!;
        if (opposite < 0) continue;
        const next = Math.floor(opposite / 3);
        if (part[next]! < 0 && belongs(next)) {
          part[next] = parts;
          waiting.push(next);
        }
      }
    }
    if (area > largestArea) {
      largestArea = area;
      largest = parts;
    }
    parts++;
  }
  const mask = new Uint8Array(chosen.length);
  for (let t = 0; t < count; t++) {
    if (part[t] === largest && largest >= 0) for (let k = 0; k < 3; k++) mask[triangles[3 * t + k]!] = 1;
  }
  return mask;
}
