import { compose, type RigidTransform } from "#core/geometry/rigid-transform";
import type { Readings } from "#core/readings/readings-document";
import { paintedMask } from "../state/commands/painting-commands";
import { heldFor, type Measured, type Workspace } from "../state/workspace";
import type { Areas } from "./arch-model";
import type { Placed, Show } from "./stage";

/** What the stage shows of the workspace, and where each timepoint's file coordinates stand on it. */
export interface Scene {
  /** The timepoint whose scan is the body. */
  readonly body: string | null;
  readonly solid: Placed | null;
  readonly outline: Placed | null;
  readonly distances: Show["distances"];
  /** What is painted on the body; null where nothing is. */
  readonly areas: Areas | null;
  /** File coordinates (mm) → stage, for the timepoints that stand on it. */
  readonly stands: ReadonlyMap<string, RigidTransform>;
  /** False while the stand is a guess: then it is not known which side is right. */
  readonly framed: boolean;
}

const EMPTY: Scene = {
  body: null,
  solid: null,
  outline: null,
  distances: null,
  areas: null,
  stands: new Map(),
  framed: false,
};

/** The later scan as a body with the earlier one's outlines; the scan that a landmark is placed on alone. */
export function sceneOf(workspace: Workspace): Scene {
  const { view } = workspace;
  const { from, to } = workspace.history.now.span;
  const measured = current(workspace);
  const stands = standsOf(workspace, measured);
  const alone = (name: string): Scene => {
    const held = heldFor(workspace, name);
    const toStage = stands.get(name);
    if (held === null || toStage === undefined) return EMPTY;
    const only = new Map([[name, toStage]]);
    const framed = measured !== null && frameOf(measured.readings, name) !== null;
    const areas = areasOn(workspace, name);
    return { ...EMPTY, body: name, solid: { mesh: held.display, toStage }, areas, stands: only, framed };
  };
  if (view.placing !== null) return alone(view.placing.timepoint);
  if (view.painting !== null) return alone(view.painting.timepoint);
  const earlier = heldFor(workspace, from);
  const later = heldFor(workspace, to);
  if (later === null) return alone(from);
  if (earlier === null || measured === null || measured.overlay === null) return alone(to);
  const solid = { mesh: later.display, toStage: stands.get(to)! };
  const scene: Scene = {
    ...EMPTY,
    body: to,
    solid,
    areas: areasOn(workspace, to),
    stands,
    framed: measured.frame !== null,
  };
  if (view.show === "overlay") {
    return { ...scene, outline: { mesh: earlier.display, toStage: stands.get(from)! } };
  }
  const { distances } = workspace;
  if (distances === null || distances.of !== measured) return scene;
  return { ...scene, distances: { values: distances.distances, limit: distances.summary.histogram.limit } };
}

/** What is painted on a timepoint's scan, with the proposed reference while one is painted. */
function areasOn(workspace: Workspace, name: string): Areas | null {
  const { painting } = workspace.view;
  const appliance = paintedMask(workspace, name, "appliance");
  const reference = paintedMask(workspace, name, "reference");
  const proposed = painting?.timepoint === name && painting.area === "reference" ? painting.proposed : null;
  return appliance === null && reference === null && proposed === null ? null : { appliance, reference, proposed };
}

/** The measurement, if it is one of the scans that are open now. */
function current(workspace: Workspace): Measured | null {
  const { measured, history } = workspace;
  const { from, to } = history.now.span;
  const same = measured?.earlier === heldFor(workspace, from) && measured?.later === heldFor(workspace, to);
  return same ? measured : null;
}

function standsOf(workspace: Workspace, measured: Measured | null): Map<string, RigidTransform> {
  const { from, to } = workspace.history.now.span;
  const stands = new Map<string, RigidTransform>();
  for (const { name } of workspace.history.now.timepoints) {
    const held = heldFor(workspace, name);
    if (held === null) continue;
    const frame = measured === null ? null : frameOf(measured.readings, name);
    stands.set(name, frame ?? held.display.stand);
  }
  const earlier = stands.get(from);
  if (measured?.overlay != null && earlier !== undefined) stands.set(to, compose(earlier, measured.overlay));
  return stands;
}

function frameOf(readings: Readings, timepoint: string): RigidTransform | null {
  const frame = readings.frames.find((one) => one.timepoint === timepoint);
  return frame === undefined
    ? null
    : ({ rotation: frame.rotation, translation: frame.translation } as unknown as RigidTransform);
}
