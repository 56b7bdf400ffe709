import { useCommands, useWorkspace } from "../state/app-context";

/** Whether the case is kept on this PC, and the way to a new one. */
export function SavedState() {
  const commands = useCommands();
  const saved = useWorkspace((workspace) => workspace.saved);
  const continued = useWorkspace((workspace) => workspace.continued);
  return (
    <div className="saved-state">
      <span className={saved.state === "failed" ? "asking" : "quiet"} role="status">
        {continued && saved.state === "nothing" && "continued where you stopped"}
        {saved.state === "saving" && "saving…"}
        {saved.state === "saved" && `saved ${saved.at}`}
        {saved.state === "failed" && `not saved: ${saved.error.problem}`}
      </span>
      <button type="button" className="word-button" onClick={() => commands.case.begin()}>
        New case
      </button>
    </div>
  );
}
