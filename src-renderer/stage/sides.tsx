import type { Stage } from "./stage";
import { useStageMovement } from "./use-stage";

/** Which side of the patient is on which side of the stage; nothing while it looks along neither. */
export function Sides({ stage }: { stage: Stage }) {
  useStageMovement(stage);
  const [left, right] = namesOf(stage);
  return (
    <>
      <span className="side-left">{left}</span>
      <span className="side-right">{right}</span>
    </>
  );
}

/** The stage stands in the arch frame: x to the patient's left, y to the back. */
function namesOf(stage: Stage): [string, string] {
  const { x, y } = stage.eye.towardsRight();
  if (x > 0.7) return ["patient’s right", "patient’s left"];
  if (x < -0.7) return ["patient’s left", "patient’s right"];
  if (y > 0.7) return ["front", "back"];
  if (y < -0.7) return ["back", "front"];
  return ["", ""];
}
