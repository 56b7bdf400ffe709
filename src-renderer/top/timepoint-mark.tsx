import { useId, useRef } from "react";
import type { Timepoint } from "#core/case/timepoint";
import { useCommands, useWorkspace } from "../state/app-context";
import { DateField } from "./date-field";
import { ScanDetails } from "./scan-details";
import { Sign } from "./sign";

/** One timepoint on the line: its name opens what is known of its scan, its sign chooses the span, its date is a field. */
export function TimepointMark({ timepoint, place }: { timepoint: Timepoint; place: number }) {
  const commands = useCommands();
  const { name, kind, scan } = timepoint;
  const compared = useWorkspace(({ history }) => history.now.span.from === name || history.now.span.to === name);
  const choosing = useWorkspace(({ view }) => view.spanFrom === name);
  const many = useWorkspace(({ history }) => history.now.timepoints.length > 2);
  const details = useRef<HTMLDivElement>(null);
  const id = useId();
  const openDetails = (event: React.MouseEvent<HTMLButtonElement>) => {
    const at = event.currentTarget.getBoundingClientRect();
    const element = details.current;
    if (element === null) return;
    element.style.left = `${Math.max(12, Math.min(at.left - 20, window.innerWidth - 400))}px`;
    element.style.top = `${at.bottom + 46}px`;
  };
  return (
    <li className="timepoint" data-kind={kind} data-compared={compared} style={{ left: `${place * 100}%` }}>
      {scan === null ? (
        <button type="button" className="timepoint-name asking" onClick={() => void commands.scans.choose(name)}>
          {name}: open a scan
        </button>
      ) : (
        <button
          type="button"
          className="timepoint-name"
          popoverTarget={id}
          onClick={openDetails}
          aria-label={`${name}: the scan`}
        >
          {name}
        </button>
      )}
      <button
        type="button"
        className="timepoint-sign"
        data-choosing={choosing}
        aria-pressed={compared}
        aria-label={`compare ${name}`}
        disabled={!many}
        onClick={() => commands.view.pickTimepoint(name)}
      >
        <Sign kind={kind} size={17} hollow={scan === null} />
      </button>
      <DateField
        label={`date of ${name}`}
        date={timepoint.date}
        className="timepoint-date"
        keep={(date) => commands.case.act({ do: "set-date", timepoint: name, date })}
      />
      <div id={id} ref={details} popover="auto" className="scan-details">
        <ScanDetails timepoint={timepoint} />
      </div>
    </li>
  );
}
