import type { Timepoint } from "#core/case/timepoint";
import { Unit } from "#core/scan/unit";
import { useCommands, useWorkspace } from "../../state/app-context";
import { scanKey } from "../../state/workspace";
import { Fact, FoldRow, QuietChoice } from "./fold";

const UNITS = Unit.options.map((unit) => [unit, unit] as const);

/** The lower arch of the same date: its scan and its landmarks. */
export function LowerRow({ timepoint }: { timepoint: Timepoint }) {
  const commands = useCommands();
  const { name, lower } = timepoint;
  const scan = lower?.scan ?? null;
  const held = useWorkspace((workspace) => (scan === null ? undefined : workspace.scans.get(scanKey(scan))));
  const marks = lower?.landmarks.length ?? 0;
  const question = held?.report.unitQuestion ?? null;
  return (
    <FoldRow label="lower arch">
      {scan !== null && <strong>{scan.fileName}</strong>}
      <button
        type="button"
        className="word-button"
        aria-label={`open the lower scan of ${name}`}
        onClick={() => void commands.lower.chooseScan(name)}
      >
        {scan === null ? "open a scan…" : "another scan…"}
      </button>
      {scan !== null && held === undefined && <span className="asks-text">The file is not open now.</span>}
      {scan !== null && held !== undefined && (
        <Fact label="numbers in">
          <QuietChoice
            label={`unit of the lower scan of ${name}`}
            value={scan.unit}
            options={UNITS}
            choose={(unit) => void commands.lower.setUnit(name, unit)}
          />
        </Fact>
      )}
      {question !== null && <span className="asks-text">{question.text}</span>}
      {scan !== null && (
        <>
          <span className="fact">{marks === 0 ? "no landmarks" : `${marks} landmarks`}</span>
          <button
            type="button"
            className="word-button"
            aria-label={`landmarks of the lower scan of ${name} from a file`}
            onClick={() => void commands.lower.chooseMarks(name)}
          >
            landmarks from a file…
          </button>
        </>
      )}
      {lower !== null && (
        <button
          type="button"
          className="word-button"
          aria-label={`remove the lower arch of ${name}`}
          onClick={() => commands.case.act({ do: "set-lower", timepoint: name, lower: null })}
        >
          remove
        </button>
      )}
    </FoldRow>
  );
}
