import { RapheError } from "../errors";
import { apply, compose, IDENTITY, invert, type RigidTransform, rotate } from "../geometry/rigid-transform";
import type { Vector3 } from "../geometry/vector";
import type { JobControl } from "../job-control";
import { vertexCount } from "../mesh/triangle-mesh";
import { coarsePose } from "./coarse-pose";
import type { RegistrationSurface } from "./registration-surface";
import { rigidIcp } from "./rigid-icp";
import type { SidedRegion } from "./sided-region";

/** How well both halves lie on the other scan, root mean square, mm; Infinity for a half that does not fit. */
export interface HalvesDistance {
  readonly right: number;
  readonly left: number;
}

/** The mirror image counts as the same arch up to this distance, mm, and only where it is nearer by this factor. */
const AS_CLOSE = 0.15;
const NEARER = 0.7;
const SAMPLES = 2000;

/**
 * Whether one of two scans is a mirror image: a mirrored arch is a plausible arch, but its rugae and its unevenness are
 * on the wrong side. The earlier scan is reflected in its median plane, and each reflected half is laid on the later scan
 * where the half of that side lies; a mirrored scan takes the reflected halves clearly closer than the halves themselves.
 * (An arch that is its own mirror image cannot be told; the conventions have no source.)
 * @param toFrame earlier file coordinates (mm) → arch frame, whose x runs across the arch
 * @param starts earlier → later file coordinates, for each side
 * @param direct of the halves as they are
 * @throws RapheError `cancelled`
 */
export function isMirrorImage(
  earlier: RegistrationSurface,
  later: RegistrationSurface,
  regions: SidedRegion,
  toFrame: RigidTransform,
  starts: { readonly right: RigidTransform; readonly left: RigidTransform },
  direct: HalvesDistance,
  job: JobControl,
): boolean {
  const moving = reflected(earlier, toFrame);
  const distanceOf = (mask: Uint8Array, start: RigidTransform): number => {
    try {
      return rigidIcp({
        moving,
        fixed: later,
        start,
        region: mask,
        robustness: "tukey",
        name: "The mirror image",
        samples: SAMPLES,
        job,
      }).rmsOfAll;
    } catch (thrown) {
      if (thrown instanceof RapheError && thrown.code === "cancelled") throw thrown;
      return Infinity;
    }
  };
  // The left half, reflected, lies on the right.
  const right = distanceOf(regions.left.mask, starts.right);
  const least = NEARER * Math.hypot(direct.right, direct.left);
  // One half that lies no closer decides it.
  if (right > AS_CLOSE || right >= least) return false;
  const left = distanceOf(regions.right.mask, starts.left);
  return left <= AS_CLOSE && Math.hypot(right, left) < least;
}

/** The mirror image counts where this share of the arch agrees with the other, and so many times more than as it is. */
const LEAST_AGREEMENT = 0.4;
const MORE = 1.1;

/**
 * The same without landmarks, from the shape of the whole arches: whether the reflected one agrees better with
 * the other (`coarsePose`) than as it is. It serves where no halves can be told, and raises no more than a suspicion: arches
 * are nearly their own mirror images (of one patient's arch reflected 0.6 to 0.9 of the share agree that agree as it is;
 * the conventions have no source).
 * @throws RapheError `cancelled`
 */
export function isMirroredArch(earlier: RegistrationSurface, later: RegistrationSurface, job: JobControl): boolean {
  const agreement = (moving: RegistrationSurface): number => {
    try {
      return coarsePose(moving, later, job).agreement;
    } catch (thrown) {
      if (thrown instanceof RapheError && thrown.code === "cancelled") throw thrown;
      return 0;
    }
  };
  const mirrored = agreement(reflected(earlier, IDENTITY));
  return mirrored >= LEAST_AGREEMENT && mirrored > MORE * agreement(earlier);
}

/** The surface reflected in the plane x = 0 of a frame. Serves as a moving surface only: its trees are the old ones. */
export function reflected(surface: RegistrationSurface, toFrame: RigidTransform): RegistrationSurface {
  const back = invert(toFrame);
  const [a, b, c, d, e, f, g, h, i] = toFrame.rotation;
  // No rigid motion, but carried out as one.
  const flipped: RigidTransform = {
    rotation: [-a, -b, -c, d, e, f, g, h, i],
    translation: [-toFrame.translation[0], toFrame.translation[1], toFrame.translation[2]],
  };
  const whole = compose(back, flipped);
  const all = (values: Float64Array, turn: (v: Vector3) => Vector3): Float64Array => {
    const out = new Float64Array(values.length);
    for (let v = 0; v < 3 * vertexCount(surface.mesh); v += 3) {
      out.set(turn([values[v]!, values[v + 1]!, values[v + 2]!]), v);
    }
    return out;
  };
  return {
    ...surface,
    mesh: { ...surface.mesh, positions: all(surface.mesh.positions, (p) => apply(whole, p)) },
    normals: all(surface.normals, (n) => rotate(whole, n)),
  };
}
