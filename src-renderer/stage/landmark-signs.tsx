import { type Landmark, landmarkWords, sameSpot } from "#core/arch/landmark";
import type { Vector3 } from "#core/geometry/vector";
import type { UsedLandmark } from "#core/readings/readings-document";
import { useCommands, useWorkspace } from "../state/app-context";
import { timepointOf } from "../state/workspace";
import type { Scene } from "./scene";
import type { Snaps } from "./snaps";
import type { Stage } from "./stage";
import { useStageMovement } from "./use-stage";

/** The landmarks of the scan that is being marked; a click chooses one, Delete takes it away. */
export function LandmarkSigns({ stage, scene, snaps }: { stage: Stage; scene: Scene; snaps: Snaps }) {
  useStageMovement(stage);
  const commands = useCommands();
  const name = scene.body ?? "";
  const timepoint = useWorkspace((workspace) => timepointOf(workspace.history.now, name));
  const used = useWorkspace((workspace) => workspace.measured?.readings.landmarks ?? NONE);
  const selected = useWorkspace((workspace) => workspace.view.selected);
  const placing = useWorkspace((workspace) => workspace.view.placing);
  const toStage = scene.stands.get(name);
  if (timepoint === undefined || toStage === undefined) return null;
  return (
    <ul className="landmark-signs" data-placing={placing !== null} aria-label={`Landmarks of the ${name} scan`}>
      {timepoint.landmarks.map((landmark) => {
        const at = placeOf(landmark, used, name, snaps);
        const [x, y] = stage.screenOf(at, toStage);
        const chosen = selected?.landmark === landmark;
        return (
          <li
            key={`${landmarkWords(landmark)} ${landmark.at.join(" ")}`}
            data-same-tooth={placing !== null && landmark.tooth === placing.tooth}
            style={{ transform: `translate(${x}px, ${y}px)` }}
          >
            <button
              type="button"
              className="landmark-sign"
              data-kind={timepoint.kind}
              aria-pressed={chosen}
              // Where a landmark is placed again, the click is for its new place.
              data-replaced={placing !== null && sameSpot(landmark, placing)}
              aria-label={landmarkWords(landmark)}
              onClick={() => commands.landmarks.select(name, chosen ? null : landmark)}
              // A sign that is taken away must not take the keyboard along.
              onKeyDown={({ key, currentTarget }) => {
                if (key === "Delete" || key === "Backspace") currentTarget.closest<HTMLElement>(".stage")?.focus();
              }}
            />
            <span className="landmark-name" data-shown={chosen}>
              {landmarkWords(landmark)}
            </span>
          </li>
        );
      })}
    </ul>
  );
}

const NONE: readonly UsedLandmark[] = [];

/** Where a landmark is used; until it has been measured, where it was seen to snap to. */
function placeOf(landmark: Landmark, used: readonly UsedLandmark[], timepoint: string, snaps: Snaps): Vector3 {
  const measured = used.find(
    (one) =>
      one.timepoint === timepoint && one.place === landmark.place && one.placed.every((v, i) => v === landmark.at[i]),
  );
  return measured?.used ?? snaps.of(landmark.at) ?? landmark.at;
}
