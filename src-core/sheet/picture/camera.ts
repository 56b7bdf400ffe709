import type { RigidTransform } from "../../geometry/rigid-transform";
import { dot, type Vector3 } from "../../geometry/vector";

/**
 * From where an arch is looked at. Pictures are orthographic, so that a length in the picture's plane is a length on
 * the arch. Directions are of the arch frame: +x patient's left, +y back, +z head.
 */
export type View = "below" | "front" | "right" | "left";

/** The picture's axes in the arch frame: to the right, upwards, and towards the eye (right × up). */
export interface ViewAxes {
  readonly right: Vector3;
  readonly up: Vector3;
  readonly towardsEye: Vector3;
}

export const VIEW_AXES: Readonly<Record<View, ViewAxes>> = {
  // The patient's right is on the left of the picture, as when one looks into the mouth.
  below: { right: [1, 0, 0], up: [0, -1, 0], towardsEye: [0, 0, -1] },
  front: { right: [1, 0, 0], up: [0, 0, 1], towardsEye: [0, -1, 0] },
  right: { right: [0, -1, 0], up: [0, 0, 1], towardsEye: [-1, 0, 0] },
  left: { right: [0, 1, 0], up: [0, 0, 1], towardsEye: [1, 0, 0] },
};

/** The view's name as the sheet prints it. */
export const VIEW_WORDS: Readonly<Record<View, string>> = {
  below: "From below",
  front: "From the front",
  right: "From the right",
  left: "From the left",
};

export interface Camera {
  readonly view: View;
  /** What stands in the middle of the picture: mm along the view's right and up axes from the frame's origin. */
  readonly centre: readonly [right: number, up: number];
  /** Size of one pixel, mm. */
  readonly millimetresPerPixel: number;
}

/** Vertices as the camera sees them: column and row in pixels (centre of the first pixel at 0.5), depth in mm towards the eye. */
export interface SeenVertices {
  readonly column: Float64Array;
  readonly row: Float64Array;
  readonly depth: Float64Array;
}

/**
 * The camera that shows all the given surfaces with a margin around them.
 * @param surfaces vertices (x, y, z, mm) and the motion that takes them to the arch frame; at least one vertex in all
 * @param margin share of the picture left empty on each side
 */
export function cameraAround(
  view: View,
  surfaces: readonly { positions: Float64Array; toFrame: RigidTransform }[],
  width: number,
  height: number,
  margin = 0.03,
): Camera {
  const { right, up } = VIEW_AXES[view];
  let [left, bottom, rightEnd, top] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const { positions, toFrame } of surfaces) {
    const toRight = along(toFrame, right);
    const toUp = along(toFrame, up);
    for (let i = 0; i < positions.length; i += 3) {
      const r = toRight(positions[i]!, positions[i + 1]!, positions[i + 2]!);
      const u = toUp(positions[i]!, positions[i + 1]!, positions[i + 2]!);
      if (r < left) left = r;
      if (r > rightEnd) rightEnd = r;
      if (u < bottom) bottom = u;
      if (u > top) top = u;
    }
  }
  const room = 1 - 2 * margin;
  return {
    view,
    centre: [(left + rightEnd) / 2, (bottom + top) / 2],
    millimetresPerPixel: Math.max((rightEnd - left) / (width * room), (top - bottom) / (height * room), 1e-6),
  };
}

/** Where a point of the arch frame (mm) stands in a picture of this size: column and row in pixels. */
export function project(camera: Camera, width: number, height: number, point: Vector3): [column: number, row: number] {
  const { right, up } = VIEW_AXES[camera.view];
  return [
    width / 2 + (dot(right, point) - camera.centre[0]) / camera.millimetresPerPixel,
    height / 2 - (dot(up, point) - camera.centre[1]) / camera.millimetresPerPixel,
  ];
}

/**
 * All vertices of a surface as the camera sees them.
 * @param finer how many samples a pixel has along one side: columns and rows are counted in samples
 */
export function seen(
  camera: Camera,
  width: number,
  height: number,
  positions: Float64Array,
  toFrame: RigidTransform,
  finer: number,
): SeenVertices {
  const axes = VIEW_AXES[camera.view];
  const toRight = along(toFrame, axes.right);
  const toUp = along(toFrame, axes.up);
  const toEye = along(toFrame, axes.towardsEye);
  const count = positions.length / 3;
  const column = new Float64Array(count);
  const row = new Float64Array(count);
  const depth = new Float64Array(count);
  const perMillimetre = finer / camera.millimetresPerPixel;
  for (let v = 0; v < count; v++) {
    const x = positions[3 * v]!;
    const y = positions[3 * v + 1]!;
    const z = positions[3 * v + 2]!;
    column[v] = (finer * width) / 2 + (toRight(x, y, z) - camera.centre[0]) * perMillimetre;
    row[v] = (finer * height) / 2 - (toUp(x, y, z) - camera.centre[1]) * perMillimetre;
    depth[v] = toEye(x, y, z);
  }
  return { column, row, depth };
}

/** Directions (unit, file coordinates) as the camera sees them: right, up, towards the eye per vertex. */
export function seenDirections(camera: Camera, directions: Float64Array, toFrame: RigidTransform): Float64Array {
  const axes = VIEW_AXES[camera.view];
  const turn: RigidTransform = { rotation: toFrame.rotation, translation: [0, 0, 0] };
  const to = [along(turn, axes.right), along(turn, axes.up), along(turn, axes.towardsEye)] as const;
  const turned = new Float64Array(directions.length);
  for (let i = 0; i < directions.length; i += 3) {
    for (let k = 0; k < 3; k++) turned[i + k] = to[k]!(directions[i]!, directions[i + 1]!, directions[i + 2]!);
  }
  return turned;
}

/** axis · (R·p + t) as a function of p. */
function along(toFrame: RigidTransform, axis: Vector3): (x: number, y: number, z: number) => number {
  const r = toFrame.rotation;
  const a = axis[0] * r[0] + axis[1] * r[3] + axis[2] * r[6];
  const b = axis[0] * r[1] + axis[1] * r[4] + axis[2] * r[7];
  const c = axis[0] * r[2] + axis[1] * r[5] + axis[2] * r[8];
  const d = dot(axis, toFrame.translation);
  return (x, y, z) => a * x + b * y + c * z + d;
}
