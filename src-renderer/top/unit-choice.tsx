import type { Timepoint } from "#core/case/timepoint";
import { Unit } from "#core/scan/unit";
import { fixed } from "#core/sheet/format";
import { useCommands, useWorkspace } from "../state/app-context";
import { heldFor } from "../state/workspace";

const WORDS: Readonly<Record<Unit, string>> = { mm: "millimetres", cm: "centimetres", m: "metres", inch: "inches" };

/** The unit of a scan's numbers, as words to click; the proposals of an open question come first. */
export function UnitChoice({ timepoint }: { timepoint: Timepoint }) {
  const commands = useCommands();
  const held = useWorkspace((workspace) => heldFor(workspace, timepoint.name));
  if (held === null) return null;
  const proposals = held.report.unitQuestion?.proposals ?? [];
  const likely = proposals.map((proposal) => proposal.unit);
  const units = [...likely, ...Unit.options.filter((unit) => !likely.includes(unit))];
  return (
    <p className="unit-choice">
      <span className="quiet">numbers in </span>
      {units.map((unit) => {
        const proposal = proposals.find((one) => one.unit === unit);
        return (
          <button
            key={unit}
            type="button"
            className="word-button"
            aria-pressed={unit === held.scan.unit}
            onClick={() => void commands.scans.setUnit(timepoint.name, unit)}
          >
            {WORDS[unit]}
            {proposal !== undefined && ` (${fixed(proposal.largestExtent)} mm wide, likely)`}
          </button>
        );
      })}
    </p>
  );
}
