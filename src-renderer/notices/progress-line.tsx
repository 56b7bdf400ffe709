import { useEffect, useState } from "react";
import { useWorkspace } from "../state/app-context";

/** Work that is done sooner than this is not spoken of, ms. */
const PATIENCE = 350;

/** The long work that runs now: what, how far, and a way to stop it. */
export function ProgressLine() {
  const work = useWorkspace((workspace) => workspace.work[0] ?? null);
  const waiting = useWorkspace((workspace) => workspace.work.length - 1);
  const [shown, setShown] = useState(false);
  const busy = work !== null;
  useEffect(() => {
    if (!busy) return setShown(false);
    const timer = setTimeout(() => setShown(true), PATIENCE);
    return () => clearTimeout(timer);
  }, [busy]);
  if (!shown || work === null) return null;
  return (
    <div className="progress-line">
      <progress aria-label={work.words} value={work.share} max={1} />
      <span>{work.words}</span>
      <span className="quiet">
        {work.doing === null || work.doing === "" ? "" : work.doing.toLowerCase()}
        {waiting > 0 ? ` · ${waiting} more` : ""}
      </span>
      <button type="button" className="word-button" onClick={() => work.stop()}>
        Stop
      </button>
    </div>
  );
}
