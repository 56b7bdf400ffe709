import { useCommands, useWorkspace } from "../state/app-context";

/** What went wrong, each with the file it is about and what to do; stays until it is put away. */
export function Troubles() {
  const commands = useCommands();
  const troubles = useWorkspace((workspace) => workspace.troubles);
  return (
    <div role="status" aria-live="polite">
      {troubles.length > 0 && (
        <ul className="troubles" aria-label="What went wrong">
          {troubles.map(({ id, error }) => (
            <li key={id} className="trouble">
              <p>
                {error.subject !== "" && <strong>{error.subject}: </strong>}
                {error.problem}
                {error.where === undefined ? "" : ` (${error.where})`}.<span className="quiet"> {error.remedy}.</span>
              </p>
              <button type="button" className="word-button" onClick={() => commands.case.putAway(id)}>
                put away
              </button>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}
