import { type ErrorParts, RapheError } from "../errors";
import { compose, IDENTITY, invert, type RigidTransform, rotate } from "../geometry/rigid-transform";
import type { Vector3 } from "../geometry/vector";
import { type JobControl, UNWATCHED } from "../job-control";
import { withoutMasked } from "../mesh/masked-surface";
import { regionArea } from "../mesh/sample-surface";
import { memberCovariance } from "../registration/group-covariance";
import {
  type ArchScan,
  HALF_TO_WARN,
  type HalvesPlan,
  type HalvesRegistration,
  type PartPlan,
  registerHalves,
} from "../registration/halves-registration";
import { crownIdentityOf } from "../registration/identity";
import type { RigidFit } from "../registration/rigid-fit";
import { rigidIcp } from "../registration/rigid-icp";
import type { SidedRegion } from "../registration/sided-region";
import { crownFrames, type FrameMark } from "./crown-frame";
import { crownPatch, verticesInFrame } from "./crown-patch";
import type { CrownScan } from "./crown-registration";
import { isRight } from "./teeth";

/** Fewer crowns than this are single teeth, not a side of the arch (a convention). */
const LEAST_CROWNS = 3;
/**
 * First positions tried for a side beside that of its landmarks, mm in the arch frame: where the landmarks of one scan
 * were laid over by the shape of the whole arch, a side lies beside its place by half the opening, and near a
 * neighbouring tooth's.
 */
const TRIED: readonly Vector3[] = [
  [0, 0, 0],
  [0, 3.5, 0],
  [0, -3.5, 0],
  [3, 0, 0],
  [-3, 0, 0],
];
const TRIED_SAMPLES = 1500;

const RIGHT: PartPlan = {
  side: "right",
  region: "right-group-of-crowns",
  name: "The group of the right crowns",
  label:
    "right crowns as one group: teeth, not palatal surfaces; the left group and each crown are seen relative to it",
  robustness: "tukey",
  quadrants: [1, 5],
};
const LEFT: PartPlan = {
  side: "left",
  region: "left-group-of-crowns",
  name: "The group of the left crowns",
  label:
    "left crowns as one group: teeth, not palatal surfaces; the right group and each crown are seen relative to it",
  robustness: "tukey",
  quadrants: [2, 6],
};
const ALL: PartPlan = {
  side: "whole",
  region: "all-crowns",
  name: "The crowns",
  label: "all crowns: shares the opening about evenly, gives no shares of sides",
  robustness: "even",
  quadrants: [1, 2, 5, 6],
};

/**
 * Where a scan shows no palate: the crowns of each side as one rigid group, registered as the halves of a palate are
 * (`registerHalves`). It is the motion of the teeth, tipping contained. Crowns that moved against each other are not one
 * rigid body: how far they did widens the covariance (`memberCovariance`), and above 0.15 mm it is said.
 * @throws RapheError `cancelled`
 */
export function registerCrownGroups(
  before: CrownScan,
  after: CrownScan,
  job: JobControl = UNWATCHED,
): HalvesRegistration {
  const hidden = [...(before.splinted ?? []), ...(after.splinted ?? [])];
  const [first, second] = [groupsOf(before, hidden), groupsOf(after, hidden)];
  const regions = { before: regionOf(first, before), after: regionOf(second, after) };
  const [from, to] = [archScan(before), archScan(after)];
  const plan: HalvesPlan = {
    of: "crowns",
    whole: ALL,
    right: RIGHT,
    left: LEFT,
    identity: (halves) => crownIdentityOf(halves.map((half) => (half.state === "fitted" ? half.fit : half.error))),
    start: (part, start, own) => bestStart(part, start, from, to, regions.before as SidedRegion, own),
    refined: ({ side }, fit) => widened(fit, before, after, side === "right" ? first.right : first.left, job),
    loose: ({ name }, { rmsOfAll }) =>
      rmsOfAll > HALF_TO_WARN
        ? `${name} fits to ${rmsOfAll.toFixed(2)} mm only (${HALF_TO_WARN} mm is usual): crowns moved against each other, so they are not one rigid body and the motion of the group is a mean of theirs.`
        : null,
    opened: "The two sides moved apart, so the crowns together only fit",
  };
  return registerHalves(plan, { before: from, after: to, regions }, job);
}

const archScan = ({ surface, toFrame, marks, name }: CrownScan): ArchScan => ({
  surface,
  toFrame,
  name,
  marks: marks.map(({ tooth, place, used }) => ({ ...(tooth === null ? {} : { tooth }), place, at: used })),
});

interface Groups {
  /** The patch of each crown, per vertex. */
  readonly right: readonly Uint8Array[];
  readonly left: readonly Uint8Array[];
}

/** @param hidden teeth whose crowns cannot be seen on one of the scans */
function groupsOf({ surface, toFrame, marks }: CrownScan, hidden: readonly number[]): Groups {
  const placed = marks.flatMap(({ tooth, place, inFrame }): FrameMark[] =>
    inFrame === null ? [] : [{ tooth, place, at: inFrame }],
  );
  const frames = crownFrames(placed);
  const vertices = verticesInFrame(surface, toFrame);
  const side = (right: boolean) =>
    frames
      .filter(({ tooth }) => isRight(tooth) === right && !hidden.includes(tooth))
      .map((frame) => withoutMasked(surface, crownPatch(surface, toFrame, vertices, frame, frames, placed)))
      .filter((patch) => patch.some((chosen) => chosen === 1));
  return { right: side(true), left: side(false) };
}

function regionOf({ right, left }: Groups, { surface, name }: CrownScan): SidedRegion | ErrorParts {
  for (const [side, patches] of [
    ["right", right],
    ["left", left],
  ] as const) {
    if (patches.length >= LEAST_CROWNS) continue;
    return {
      code: "landmark-missing",
      subject: name,
      problem: `without a palate the ${side} side needs ${LEAST_CROWNS} crowns with landmarks, there are ${patches.length}`,
      remedy: `Place the cusp tips of ${LEAST_CROWNS} teeth on the ${side} side, or take scans that show the palate`,
    };
  }
  const union = (patches: readonly Uint8Array[]) => {
    const mask = patches[0]!.map((_, v) => (patches.some((patch) => patch[v] === 1) ? 1 : 0));
    return { mask, area: regionArea(surface.mesh, mask) };
  };
  return { origin: "proposed", whole: union([...right, ...left]), right: union(right), left: union(left) };
}

/** Of the first positions tried the one under which most of the side comes to lie closest. */
function bestStart(
  part: PartPlan,
  start: RigidTransform,
  before: ArchScan,
  after: ArchScan,
  regions: SidedRegion,
  job: JobControl,
): RigidTransform {
  let best = { score: Infinity, transform: start };
  for (const shift of TRIED) {
    const moved: RigidTransform = { ...IDENTITY, translation: rotate(invert(after.toFrame), shift) };
    try {
      const fit = rigidIcp({
        moving: before.surface,
        fixed: after.surface,
        start: compose(moved, start),
        region: regions[part.side].mask,
        robustness: part.robustness,
        name: part.name,
        samples: TRIED_SAMPLES,
        job,
      });
      const score = fit.rmsOfAll / fit.overlap;
      if (score < best.score) best = { score, transform: fit.transform };
      // As close as one rigid body comes: no other place will be closer.
      if (fit.rmsOfAll <= HALF_TO_WARN) break;
    } catch (thrown) {
      if (thrown instanceof RapheError && thrown.code === "cancelled") throw thrown;
    }
  }
  return best.transform;
}

function widened(
  fit: RigidFit,
  before: CrownScan,
  after: CrownScan,
  crowns: readonly Uint8Array[],
  job: JobControl,
): RigidFit {
  const own = memberCovariance(before.surface, after.surface, fit, crowns, job);
  return own === null ? fit : { ...fit, covariance: fit.covariance.map((value, k) => value + own[k]!) };
}
