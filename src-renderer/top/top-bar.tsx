import { useCommands, useWorkspace } from "../state/app-context";
import { SavedState } from "./saved-state";
import { TestRuntimeLine } from "./test-runtime-line";
import { TimeLine } from "./time-line";

/** Wordmark, time line, what is saved, and the one button. */
export function TopBar() {
  const commands = useCommands();
  const ready = useWorkspace((workspace) => (workspace.measured?.readings.made ?? 0) > 0);
  const invented = useWorkspace((workspace) => workspace.history.now.invented);
  return (
    <header className="top-bar">
      <div className="top-name">
        <h1 className="wordmark">Raphe</h1>
        <div className="top-under">
          {invented && <span className="quiet">invented sample</span>}
          <TestRuntimeLine />
        </div>
      </div>
      <TimeLine />
      <div className="top-end">
        <SavedState />
        <button type="button" className="main-button" disabled={!ready} onClick={() => void commands.record.issue()}>
          Issue sheet
        </button>
      </div>
    </header>
  );
}
