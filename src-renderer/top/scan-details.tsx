import type { Timepoint } from "#core/case/timepoint";
import { grouped } from "#core/grouped";
import { fixed, shortHash } from "#core/sheet/format";
import { useCommands, useWorkspace } from "../state/app-context";
import { heldFor } from "../state/workspace";
import { UnitChoice } from "./unit-choice";

/** What was found in a timepoint's scan and what was done with it; ways to replace or exchange it. */
export function ScanDetails({ timepoint }: { timepoint: Timepoint }) {
  const commands = useCommands();
  const held = useWorkspace((workspace) => heldFor(workspace, timepoint.name));
  const span = useWorkspace((workspace) => workspace.history.now.span);
  const { scan } = timepoint;
  if (scan === null) return null;
  const other = span.from === timepoint.name ? span.to : span.from;
  return (
    <>
      <h2>{scan.fileName}</h2>
      <p className="quiet">SHA-256 {shortHash(scan.sha256)} …</p>
      {held === null ? (
        <p className="asking">The file is not open now. Open it again to measure.</p>
      ) : (
        <Report held={held} />
      )}
      <UnitChoice timepoint={timepoint} />
      <div className="scan-ways">
        <button type="button" className="word-button" onClick={() => void commands.scans.choose(timepoint.name)}>
          {held === null ? "Open it again…" : "Open another scan here…"}
        </button>
        <button
          type="button"
          className="word-button"
          onClick={() => commands.case.act({ do: "exchange-scans", first: timepoint.name, second: other })}
        >
          Exchange with {other}
        </button>
      </div>
    </>
  );
}

function Report({ held }: { held: NonNullable<ReturnType<typeof heldFor>> }) {
  const { report } = held;
  const { triangles } = report;
  const left = triangles.inFile - triangles.used;
  const [x, y, z] = report.extents;
  return (
    <>
      <dl className="facts-list">
        <dt>format</dt>
        <dd>{report.format}</dd>
        <dt>triangles</dt>
        <dd>
          {grouped(triangles.used)}
          {left > 0 && <span className="quiet"> of {grouped(triangles.inFile)} in the file</span>}
        </dd>
        <dt>size</dt>
        <dd>
          {fixed(x)} × {fixed(y)} × {fixed(z)} mm
        </dd>
        <dt>mean edge</dt>
        <dd>{fixed(report.edgeLength.mean, 2)} mm</dd>
        <dt>holes</dt>
        <dd>{grouped(report.holes)}</dd>
        {report.components.fragments > 0 && (
          <>
            <dt>set aside</dt>
            <dd>
              {grouped(report.components.fragments)} floating {report.components.fragments === 1 ? "piece" : "pieces"}
            </dd>
          </>
        )}
      </dl>
      {report.warnings.map((warning) => (
        <p key={warning} className="asks-text">
          {warning}
        </p>
      ))}
      {report.notes.length > 0 && (
        <details>
          <summary>Text in the file (it may hold a name; it is never exported)</summary>
          {report.notes.map((note) => (
            <p key={note} className="quiet file-note">
              {note}
            </p>
          ))}
        </details>
      )}
    </>
  );
}
