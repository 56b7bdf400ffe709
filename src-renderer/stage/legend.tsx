import { useWorkspace } from "../state/app-context";
import { kindOf } from "../state/timepoint-kind";
import { Sign } from "../top/sign";
import type { Scene } from "./scene";

/** Which scan is the body and which the line. */
export function Legend({ scene }: { scene: Scene }) {
  const document = useWorkspace((workspace) => workspace.history.now);
  const names = [...scene.stands.keys()].filter((name) => name === document.span.from || name === document.span.to);
  if (scene.solid === null) return null;
  return (
    <ul className="stage-legend">
      {(names.length < 2 ? [...scene.stands.keys()] : names).map((name) => (
        <li key={name}>
          <Sign kind={kindOf(document, name)} size={14} /> {name}
          {scene.outline !== null && <span className="quiet">{name === scene.body ? " body" : " outline"}</span>}
        </li>
      ))}
      {scene.distances === null && scene.areas?.appliance != null && (
        <li>
          <span className="sign-covered" /> appliance
          <span className="quiet">not measured on</span>
        </li>
      )}
      {scene.distances === null && scene.areas?.reference != null && (
        <li>
          <span className="sign-reference" /> reference
          <span className="quiet">registered by</span>
        </li>
      )}
      {scene.areas?.proposed != null && (
        <li>
          <span className="sign-reference" data-faint="true" /> <span className="quiet">proposed reference</span>
        </li>
      )}
    </ul>
  );
}
