import { useEffect, useRef, useState } from "react";
import { distance, type Vector3 } from "#core/geometry/vector";
import { useCommands } from "../state/app-context";
import type { Target } from "../state/workspace";
import type { Scene } from "./scene";
import type { Snaps } from "./snaps";
import type { Picked, Stage } from "./stage";
import { useStageMovement } from "./use-stage";

/** A snapped place this near to the pointer may still be the one that is meant, mm. */
const STILL_MEANT = 1.2;

/**
 * Shows, before the click, where it would go: the ring leaves the pointer for the cusp tip, fossa or margin meant, and a
 * thread ties it to the pointer.
 */
export function SnapPreview({
  stage,
  scene,
  snaps,
  target,
  picked,
}: {
  stage: Stage;
  scene: Scene;
  snaps: Snaps;
  target: Target;
  picked: Picked | null;
}) {
  useStageMovement(stage);
  const commands = useCommands();
  const [snapped, setSnapped] = useState<{ from: Picked; to: Vector3 } | null>(null);
  const newest = useRef<Picked | null>(null);
  newest.current = picked;
  // A ring that stands at the last landmark's place must not fly to the next one's.
  // biome-ignore lint/correctness/useExhaustiveDependencies: a new target is what makes the old place void
  useEffect(() => setSnapped(null), [target]);
  useEffect(() => {
    if (picked === null) return setSnapped(null);
    void commands.landmarks.snap(target, picked.at, picked.towardsEye).then((answer) => {
      if (answer === null || newest.current !== picked) return;
      snaps.remember(picked.at, answer.used);
      setSnapped({ from: picked, to: answer.used });
    });
  }, [commands, picked, target, snaps]);
  const toStage = scene.stands.get(target.timepoint);
  if (picked === null || toStage === undefined) return null;
  const [x, y] = stage.screenOf(picked.at, toStage);
  // Until the answer for this place is there, the ring stays where it was only if that can still be meant.
  const near = snapped !== null && (snapped.from === picked || distance(snapped.to, picked.at) < STILL_MEANT);
  const [sx, sy] = stage.screenOf(near ? snapped.to : picked.at, toStage);
  return (
    <svg className="stage-flat snap-preview" aria-hidden="true" data-snapped={snapped?.from === picked}>
      <line className="thread" x1={x} y1={y} x2={sx} y2={sy} />
      <circle className="pointer" cx={x} cy={y} r={2.5} />
      <g className="ring" style={{ transform: `translate(${sx}px, ${sy}px)` }}>
        <circle r={8} />
        <circle className="dot" r={2} />
      </g>
    </svg>
  );
}
