import { fromFrame, type RigidTransform } from "#core/geometry/rigid-transform";
import { addScaled, centroid, cross, dot, scale, subtract, unit, type Vector3 } from "#core/geometry/vector";

/** Places of the landmarks of one tooth or of the palate. */
export interface PlacedLandmark {
  readonly tooth?: number;
  readonly place: string;
  readonly at: Vector3;
}

/** The landmarks that carry the occlusal plane of the sample arches. */
export const OCCLUSAL_PLANE: readonly (readonly [tooth: number, place: string])[] = [
  [16, "mesiobuccal-cusp-tip"],
  [26, "mesiobuccal-cusp-tip"],
  [13, "cusp-tip"],
  [23, "cusp-tip"],
  [14, "buccal-cusp-tip"],
  [24, "buccal-cusp-tip"],
];

/**
 * The arch frame of an upper arch from its landmarks (mm): +x patient's left, +y back, +z head; occlusal plane by least
 * squares through `OCCLUSAL_PLANE`, median plane through the raphe line (least squares in the occlusal plane), origin at
 * the raphe line's point closest to the incisive papilla, on the occlusal plane. `upAbout` says roughly where the head
 * is. Returns the motion from the given coordinates to the frame.
 */
export function archFrame(landmarks: readonly PlacedLandmark[], upAbout: Vector3): RigidTransform {
  const find = (tooth: number | undefined, place: string) =>
    landmarks.filter((l) => l.tooth === tooth && l.place === place).map((l) => l.at);
  const planePoints = OCCLUSAL_PLANE.flatMap(([tooth, place]) => find(tooth, place));
  const middle = centroid(planePoints);
  const normal = planeNormal(
    planePoints.map((p) => subtract(p, middle)),
    upAbout,
  );
  const raphe = find(undefined, "median-raphe");
  const papilla = find(undefined, "incisive-papilla")[0]!;
  const inPlane = (p: Vector3) => addScaled(p, normal, -dot(subtract(p, middle), normal));
  const flat = raphe.map(inPlane);
  const rapheMiddle = centroid(flat);
  // Axes of the plane, then the direction of the largest spread of the raphe points in it.
  const e1 = unit(cross(normal, Math.abs(normal[0]) < 0.9 ? [1, 0, 0] : [0, 1, 0]));
  const e2 = cross(normal, e1);
  let aa = 0;
  let ab = 0;
  let bb = 0;
  for (const p of flat) {
    const d = subtract(p, rapheMiddle);
    aa += dot(d, e1) * dot(d, e1);
    ab += dot(d, e1) * dot(d, e2);
    bb += dot(d, e2) * dot(d, e2);
  }
  const root = (aa + bb) / 2 + Math.sqrt(((aa - bb) * (aa - bb)) / 4 + ab * ab);
  let back =
    Math.abs(root - bb) > Math.abs(root - aa)
      ? addScaled(scale(e1, root - bb), e2, ab)
      : addScaled(scale(e1, ab), e2, root - aa);
  back = unit(back);
  if (dot(back, subtract(rapheMiddle, inPlane(papilla))) < 0) back = scale(back, -1);
  const left = cross(back, normal);
  const origin = addScaled(rapheMiddle, back, dot(subtract(inPlane(papilla), rapheMiddle), back));
  return fromFrame(origin, left, back);
}

/** Unit normal of the least-squares plane through centred points, on the side of `upAbout` (power iteration on the adjugate). */
function planeNormal(points: readonly Vector3[], upAbout: Vector3): Vector3 {
  let [xx, xy, xz, yy, yz, zz] = [0, 0, 0, 0, 0, 0];
  for (const [x, y, z] of points) {
    xx += x * x;
    xy += x * y;
    xz += x * z;
    yy += y * y;
    yz += y * z;
    zz += z * z;
  }
  // Inverse iteration: the smallest spread becomes the largest of the inverse, given here by the cofactors.
  const shift = 1e-9 * (xx + yy + zz);
  xx += shift;
  yy += shift;
  zz += shift;
  const rows: Vector3[] = [
    [yy * zz - yz * yz, xz * yz - xy * zz, xy * yz - xz * yy],
    [xz * yz - xy * zz, xx * zz - xz * xz, xy * xz - xx * yz],
    [xy * yz - xz * yy, xy * xz - xx * yz, xx * yy - xy * xy],
  ];
  let n = unit(upAbout);
  for (let i = 0; i < 60; i++) n = unit([dot(rows[0]!, n), dot(rows[1]!, n), dot(rows[2]!, n)]);
  return dot(n, upAbout) < 0 ? scale(n, -1) : n;
}

/** A direction of the frame in the coordinates it was computed from. */
export const frameAxis = (frame: RigidTransform, axis: 0 | 1 | 2): Vector3 => {
  const r = frame.rotation;
  return [r[axis * 3]!, r[axis * 3 + 1]!, r[axis * 3 + 2]!];
};
