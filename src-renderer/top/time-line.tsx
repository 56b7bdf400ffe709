import type { CaseDocument } from "#core/case/case-document";
import { netTurns } from "#core/case/expander";
import type { Timepoint } from "#core/case/timepoint";
import { daysBetween } from "#core/sheet/format";
import { useCommands, useWorkspace } from "../state/app-context";
import { TimepointMark } from "./timepoint-mark";

/** The scans on a date axis; the compared span is its thick part. Two clicks on signs choose another span. */
export function TimeLine() {
  const commands = useCommands();
  const document = useWorkspace((workspace) => workspace.history.now);
  const places = placesOf(document.timepoints);
  const from = places.get(document.span.from) ?? 0;
  const to = places.get(document.span.to) ?? 1;
  const hasRetention = document.timepoints.some((timepoint) => timepoint.kind === "retention");
  return (
    <nav className="time-line" aria-label="Scans by date">
      <div className="time-track">
        <div className="time-axis" />
        <div className="time-span" style={{ left: `${from * 100}%`, width: `${(to - from) * 100}%` }} />
        {gapsOf(document, places).map((gap) => (
          <span key={gap.key} className="time-gap" style={{ left: `${gap.middle * 100}%` }}>
            {gap.words}
          </span>
        ))}
        <ol>
          {document.timepoints.map((timepoint) => (
            <TimepointMark key={timepoint.name} timepoint={timepoint} place={places.get(timepoint.name) ?? 0} />
          ))}
        </ol>
      </div>
      {!hasRetention && document.timepoints.every((timepoint) => timepoint.scan !== null) && (
        <button type="button" className="word-button time-more" onClick={() => void commands.scans.choose()}>
          add a scan in retention
        </button>
      )}
    </nav>
  );
}

/** Dates that stand closer than this share of the line are pushed apart. */
const CLOSEST = 0.24;

/** Where each timepoint stands, 0 to 1: by its date where all have one in order, else evenly. */
function placesOf(timepoints: readonly Timepoint[]): Map<string, number> {
  const last = timepoints.length - 1;
  const days = timepoints.map(({ date }) => (date === null ? null : daysBetween("2000-01-01", date)));
  const first = days[0] ?? null;
  const end = days[last] ?? null;
  const dated =
    first !== null && end !== null && days.every((day, i) => day !== null && (i === 0 || day > days[i - 1]!));
  const closest = Math.min(CLOSEST, 1 / Math.max(1, last));
  let before = -closest;
  return new Map(
    timepoints.map(({ name }, i) => {
      const wished = dated ? (days[i]! - first) / (end - first) : i / Math.max(1, last);
      before = Math.min(Math.max(wished, before + closest), 1 - (last - i) * closest);
      return [name, before];
    }),
  );
}

/** The days between neighbours, and the turns of the screw between before and after. */
function gapsOf(document: CaseDocument, places: Map<string, number>) {
  const { timepoints, identity } = document;
  return timepoints.slice(1).flatMap((later, i) => {
    const earlier = timepoints[i]!;
    const words: string[] = [];
    if (earlier.date !== null && later.date !== null) words.push(`${daysBetween(earlier.date, later.date)} days`);
    const turns = netTurns(identity.expander);
    if (turns !== null && earlier.kind === "before" && later.kind === "after") words.push(`${turns} turns`);
    const middle = ((places.get(earlier.name) ?? 0) + (places.get(later.name) ?? 0)) / 2;
    return words.length === 0 ? [] : [{ key: later.name, middle, words: words.join(", ") }];
  });
}
