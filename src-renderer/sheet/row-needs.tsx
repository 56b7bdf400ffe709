import { landmarkWords } from "#core/arch/landmark";
import { useCommands, useWorkspace } from "../state/app-context";
import type { SheetRow } from "../state/sheet-rows";

/** What a withheld row needs, as something to click; or the reason why it is withheld. */
export function RowNeeds({ row, asksNext }: { row: SheetRow; asksNext: boolean }) {
  const commands = useCommands();
  const placing = useWorkspace((workspace) => workspace.view.placing);
  const [first, ...more] = row.needs;
  const change = row.reading?.change;
  if (first === undefined) {
    return <span className="asks-text">{change?.state === "withheld" ? change.reason.text : row.away}</span>;
  }
  const active = row.needs.some((need) => need.tooth === placing?.tooth && need.place === placing?.place);
  return (
    <span className="asks-text" data-active={active}>
      needs the{" "}
      <button
        type="button"
        className="asking"
        onClick={(event) => {
          event.stopPropagation();
          commands.landmarks.begin(first);
        }}
      >
        {landmarkWords(first)}
      </button>{" "}
      on the {first.timepoint} scan {more.length > 0 && <span className="quiet nowrap">+{more.length} more </span>}
      {asksNext && <kbd className="key">N</kbd>}
    </span>
  );
}
