import { type ArchFrame, archFrame } from "../arch/arch-frame";
import type { Landmark } from "../arch/landmark";
import { apply, fromRotationVector, IDENTITY, type RigidTransform, rotationVector } from "../geometry/rigid-transform";
import type { Vector3 } from "../geometry/vector";
import type { Surface } from "../mesh/surface";
import { derivatives } from "../statistics/propagation";
import { type PalateMesh, palateMesh } from "./palate-mesh";
import type { Withheld } from "./quantity";
import { type ScannerField, scannerFields } from "./scanner-fields";
import type { Assumptions } from "./uncertainty";
import { type MeasuredPoint, type PointSet, stationsFrom } from "./width";

/** A point of the arch frame and how the frame's motion follows it: rotation vector (radians), shift (mm); 6 × 3. */
interface FrameSupport {
  readonly point: MeasuredPoint;
  readonly rows: readonly Vector3[];
}

/** One scan as readings of arch and palate take it. */
export interface ArchScan {
  readonly timepoint: string;
  readonly points: PointSet;
  readonly frame: ArchFrame | null;
  readonly hasSurface: boolean;
  /** The surface in the arch frame, small holes closed; made when first asked for, null without surface or frame. */
  palate(): PalateMesh | null;
  /** File coordinates → arch frame; without a frame the file's own. */
  readonly toFrame: RigidTransform;
  readonly supports: readonly FrameSupport[];
  readonly fields: readonly ScannerField[];
  /** Why a height of a tooth is withheld on it: it is erupting; else null. */
  readonly erupting: (tooth: number) => Withheld | null;
}

/** A shift of a point at which the frame is tried, mm. */
const STEP = 1e-3;

/**
 * A scan ready for readings: how its arch frame follows each landmark that it stands on, and how its scanner may have
 * bent it.
 * @param surface null where readings of the surface are not wanted
 */
export function archScan(
  points: PointSet,
  frame: ArchFrame | null,
  surface: Surface | null,
  assumptions: Assumptions,
  erupting: ArchScan["erupting"] = () => null,
): ArchScan {
  let mesh: PalateMesh | null = null;
  return {
    timepoint: points.timepoint,
    points,
    frame,
    hasSurface: surface !== null,
    palate: () => {
      if (surface === null || frame === null) return null;
      mesh ??= palateMesh(surface, frame.toFrame);
      return mesh;
    },
    toFrame: frame?.toFrame ?? IDENTITY,
    supports: frame === null ? [] : supportsOf(points, frame),
    fields: scannerFields(assumptions, stationsFrom(points)),
    erupting,
  };
}

function supportsOf(points: PointSet, frame: ArchFrame): FrameSupport[] {
  const carries = ({ tooth, place }: MeasuredPoint): boolean =>
    place === "median-raphe" ||
    place === "incisive-papilla" ||
    frame.pairs.some((pair) => pair.place === place && (pair.right === tooth || pair.left === tooth));
  const used = points.points.filter(
    (point) => carries(point) && (frame.source === "raphe" || point.place !== "median-raphe"),
  );
  const nominal = used.map(({ at }) => apply(frame.toFrame, at));
  const motion = (deviations: readonly number[]): readonly number[] => {
    const marks = used.map(({ tooth, place }, i): Landmark => {
      const [x, y, z] = nominal[i]!;
      const [dx, dy, dz] = deviations.slice(3 * i, 3 * i + 3) as [number, number, number];
      return { ...(tooth === null ? {} : { tooth }), place, at: [x + dx, y + dy, z + dz] };
    });
    const { toFrame } = archFrame(marks, frame.pairs, points.timepoint);
    return [...rotationVector(toFrame), ...toFrame.translation];
  };
  const rows = derivatives(motion, new Array<number>(3 * used.length).fill(STEP));
  return used.map((point, i) => ({
    point,
    rows: [0, 1, 2, 3, 4, 5].map((k): Vector3 => [rows[3 * i]![k]!, rows[3 * i + 1]![k]!, rows[3 * i + 2]![k]!]),
  }));
}

/** The frame moved by a rotation vector (radians) and a shift (mm): nominal arch frame → moved one. */
export const movedFrame = (motion: readonly number[]): RigidTransform =>
  fromRotationVector([motion[0]!, motion[1]!, motion[2]!], [motion[3]!, motion[4]!, motion[5]!]);
