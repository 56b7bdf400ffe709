import { add, addScaled, cross, distance, dot, subtract, type Vector3 } from "#core/geometry/vector";
import type { PlacedLandmark } from "./arch-frame";
import type { Random } from "./random";
import type { SurfaceMesh } from "./surface-nets";
import type { TrueLandmark } from "./truth";

/** Largest distance of a click from the true point, mm. */
const CLICK_ERROR = 0.3;

/** Landmarks as a person would have placed them: off by up to 0.3 mm, on the scanned surface where that is as near. */
export function clickedLandmarks(
  landmarks: readonly TrueLandmark[],
  mesh: SurfaceMesh,
  random: Random,
): PlacedLandmark[] {
  return landmarks.map((l) => {
    const click = add(l.refound, random.inBall(CLICK_ERROR));
    const dropped = nearestOnMesh(mesh, click, 1);
    const at = dropped !== null && distance(dropped, l.refound) <= CLICK_ERROR ? dropped : click;
    return l.tooth === undefined ? { place: l.place, at } : { tooth: l.tooth, place: l.place, at };
  });
}

/** The nearest point of the mesh to p within `reach` mm, by looking at every triangle; null if none is that near. */
export function nearestOnMesh(mesh: SurfaceMesh, p: Vector3, reach: number): Vector3 | null {
  const q = mesh.positions;
  let best: Vector3 | null = null;
  let least = reach;
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const i = mesh.triangles[t]! * 3;
    if (Math.abs(q[i]! - p[0]) > 4 || Math.abs(q[i + 1]! - p[1]) > 4 || Math.abs(q[i + 2]! - p[2]) > 4) continue;
    const corner = (c: number): Vector3 => {
      const v = mesh.triangles[t + c]! * 3;
      return [q[v]!, q[v + 1]!, q[v + 2]!];
    };
    const near = nearestOnTriangle(p, corner(0), corner(1), corner(2));
    const d = distance(near, p);
    if (d < least) {
      least = d;
      best = near;
    }
  }
  return best;
}

/** The nearest point of a triangle: the foot of the perpendicular if it falls inside, else the nearest of the edges. */
function nearestOnTriangle(p: Vector3, a: Vector3, b: Vector3, c: Vector3): Vector3 {
  const n = cross(subtract(b, a), subtract(c, a));
  const n2 = dot(n, n);
  if (n2 > 0) {
    const foot = addScaled(p, n, -dot(subtract(p, a), n) / n2);
    const inside = [
      [a, b],
      [b, c],
      [c, a],
    ].every(([s, e]) => dot(cross(subtract(e!, s!), subtract(foot, s!)), n) >= 0);
    if (inside) return foot;
  }
  const edges = [
    [a, b],
    [b, c],
    [c, a],
  ].map(([s, e]) => {
    const d = subtract(e!, s!);
    const l2 = dot(d, d);
    const t = l2 === 0 ? 0 : Math.min(Math.max(dot(subtract(p, s!), d) / l2, 0), 1);
    return addScaled(s!, d, t);
  });
  return edges.reduce((m, e) => (distance(e, p) < distance(m, p) ? e : m));
}
