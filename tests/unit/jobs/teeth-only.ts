import { apply, type RigidTransform } from "#core/geometry/rigid-transform";
import { addScaled, distance, dot, subtract, type Vector3 } from "#core/geometry/vector";

/** What of a palate stays on a scan of teeth and a cuff of gingiva: this far from the palatal gingival points, mm. */
const CUFF = 3.5;
/** How far the line of these points runs on behind the last tooth, mm. */
const BEHIND = 20;

/**
 * A scan without its palate, as a scan of the teeth alone is: the triangles inside the line through the palatal gingival
 * points are taken out, but for a cuff of 3.5 mm.
 * @param toFrame file coordinates → arch frame
 * @param gingival palatal gingival points of every tooth with its number, file coordinates
 */
export function withoutPalate(
  mesh: { readonly positions: ArrayLike<number>; readonly triangles: ArrayLike<number> },
  toFrame: RigidTransform,
  gingival: readonly { readonly tooth: number; readonly at: Vector3 }[],
): { positions: Float64Array; triangles: Uint32Array } {
  const along = (tooth: number) => (tooth < 20 ? -1 : 1) * (tooth % 10);
  const points = gingival.toSorted((a, b) => along(a.tooth) - along(b.tooth)).map(({ at }) => apply(toFrame, at));
  const behind = ([x, y, z]: Vector3): Vector3 => [x, y + BEHIND, z];
  const line = [behind(points[0]!), ...points, behind(points[points.length - 1]!)];
  const inside = Array.from({ length: mesh.positions.length / 3 }, (_, v) => {
    const p = apply(toFrame, [mesh.positions[3 * v]!, mesh.positions[3 * v + 1]!, mesh.positions[3 * v + 2]!]);
    return encloses(line, p) && line.slice(1).every((b, i) => fromPiece(p, line[i]!, b) > CUFF);
  });
  const kept: number[] = [];
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const corners = [mesh.triangles[t]!, mesh.triangles[t + 1]!, mesh.triangles[t + 2]!];
    if (!corners.some((v) => inside[v])) kept.push(...corners);
  }
  return { positions: Float64Array.from(mesh.positions), triangles: Uint32Array.from(kept) };
}

function fromPiece(p: Vector3, a: Vector3, b: Vector3): number {
  const way = subtract(b, a);
  const share = Math.min(1, Math.max(0, dot(subtract(p, a), way) / dot(way, way)));
  return distance(p, addScaled(a, way, share));
}

/** Whether the closed line runs round the point, seen from occlusal (crossing number). */
function encloses(line: readonly Vector3[], p: Vector3): boolean {
  return line.reduce((within, a, i) => {
    const b = line[(i + 1) % line.length]!;
    if (a[1] > p[1] === b[1] > p[1]) return within;
    return p[0] < a[0] + ((b[0] - a[0]) * (p[1] - a[1])) / (b[1] - a[1]) ? !within : within;
  }, false);
}
