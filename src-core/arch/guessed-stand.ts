import { principalAxes } from "../geometry/principal-axes";
import { fromFrame, type RigidTransform } from "../geometry/rigid-transform";
import { add, cross, dot, length, scale, subtract, unit, type Vector3 } from "../geometry/vector";

/** A surface about a centre of its own, as it is drawn. */
interface CentredSurface {
  /** x, y, z − centre, mm; 3 × vertices. */
  readonly positions: Float32Array;
  /** Unit vertex normals; 3 × vertices. */
  readonly normals: Float32Array;
  /** File coordinates (mm) of its origin. */
  readonly centre: Vector3;
}

/** About so many vertices are looked at. */
const SAMPLES = 4000;
/** The outermost share of the arch that counts as its end. */
const END = 0.15;

/**
 * How an upper arch without landmarks may stand, for looking at it only: scans show the side that the scanner saw, so
 * their normals lean to occlusal; and of an arch's ends the front one is the narrowest.
 * @returns file coordinates (mm) → about an arch frame, with its origin in the middle of the scan
 */
export function guessedStand(mesh: CentredSurface): RigidTransform {
  const points: Vector3[] = [];
  let lean: Vector3 = [0, 0, 0];
  const count = mesh.positions.length / 3;
  const step = Math.max(1, Math.floor(count / SAMPLES));
  for (let v = 0; v < count; v += step) {
    points.push(tripleAt(mesh.positions, v));
    lean = add(lean, tripleAt(mesh.normals, v));
  }
  const occlusal = length(lean) > 0 ? unit(lean) : ([0, 0, -1] as const);
  const { centre } = principalAxes(points);
  const flat = points.map((point) => {
    const out = subtract(point, centre);
    return subtract(out, scale(occlusal, dot(out, occlusal)));
  });
  const { axes } = principalAxes(flat);
  const candidates = [axes[0], scale(axes[0], -1), axes[1], scale(axes[1], -1)];
  const widths = candidates.map((front) => endWidth(flat, unit(front), unit(cross(front, occlusal))));
  const front = unit(candidates[widths.indexOf(Math.min(...widths))]!);
  const back = scale(front, -1);
  const head = scale(occlusal, -1);
  const middleOfFile = add(mesh.centre, centre);
  return fromFrame(middleOfFile, cross(back, head), back);
}

/** Width of the arch's end towards `front`, as a share of its full width across. */
function endWidth(points: readonly Vector3[], front: Vector3, across: Vector3): number {
  const along = points.map((point) => dot(point, front));
  const sideways = points.map((point) => dot(point, across));
  const high = Math.max(...along);
  const limit = high - END * (high - Math.min(...along));
  const end = sideways.filter((_, i) => along[i]! >= limit);
  return (Math.max(...end) - Math.min(...end)) / (Math.max(...sideways) - Math.min(...sideways));
}

const tripleAt = (values: Float32Array, i: number): Vector3 => [values[3 * i]!, values[3 * i + 1]!, values[3 * i + 2]!];
