import type { RigidTransform } from "../geometry/rigid-transform";
import type { JobControl } from "../job-control";
import type { RegistrationSurface } from "./registration-surface";

/**
 * What happens to points that do not match:
 * - `tukey`: they are taken as changed and left out; for a region that moved as one piece.
 * - `even`: every point keeps pulling, the largest tenth no harder than the rest; for a region that is one piece but
 *   changed in many places a little. A region that came apart has no such fit: see `shared-motion.ts`.
 */
export type RobustnessMode = "tukey" | "even";

export interface RigidIcpRequest {
  readonly moving: RegistrationSurface;
  readonly fixed: RegistrationSurface;
  /** Moving → fixed, mm: a few degrees and millimetres from the truth, as landmarks give it. */
  readonly start: RigidTransform;
  /** Per vertex of the moving surface, 0 = takes no part; the whole surface if left out. */
  readonly region?: Uint8Array;
  /** Per vertex of the fixed surface, 0 = no partner; the whole surface if left out. */
  readonly fixedRegion?: Uint8Array;
  readonly robustness: RobustnessMode;
  /** What the region is called in sentences: 'The palate'. */
  readonly name: string;
  /** Fixed coordinates → arch frame, so that sentences can say which way a region may slide. */
  readonly toFrame?: RigidTransform;
  /** Points sampled at most. */
  readonly samples?: number;
  readonly seed?: number;
  readonly job?: JobControl;
}
