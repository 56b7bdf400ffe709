import type { Stage } from "./stage";
import { useStageMovement } from "./use-stage";

/** How wide the brush is, where it is. */
export function BrushRing({
  stage,
  at,
  radius,
}: {
  stage: Stage;
  at: { x: number; y: number } | null;
  radius: number;
}) {
  useStageMovement(stage);
  if (at === null) return null;
  return (
    <svg className="stage-flat brush-ring" aria-hidden="true">
      <circle cx={at.x} cy={at.y} r={radius / stage.eye.millimetresPerPixel()} />
    </svg>
  );
}
