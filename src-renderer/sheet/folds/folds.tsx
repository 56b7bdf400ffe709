import { useCommands, useWorkspace } from "../../state/app-context";
import { CaseFold } from "./case-fold";
import { VisitFold } from "./visit-fold";

/** Everything else that can be entered, folded away: of the case, and of each visit in the order of time. */
export function Folds() {
  const commands = useCommands();
  const timepoints = useWorkspace((workspace) => workspace.history.now.timepoints);
  return (
    <section className="folds" aria-label="Details of the case and its visits">
      <CaseFold />
      {timepoints.map((timepoint, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a visit that is renamed stays unfolded
        <VisitFold key={i} timepoint={timepoint} />
      ))}
      <button type="button" className="word-button fold-more" onClick={() => commands.case.addTimepoint()}>
        add a visit
      </button>
    </section>
  );
}
