import { useCommands, useWorkspace } from "../state/app-context";
import { missingLandmarks, targetWords } from "../state/missing";
import { timepointOf } from "../state/workspace";

/** The sentence at the head of the sheet and its reason; before anything is measured, what to do next. */
export function VerdictHead() {
  const readings = useWorkspace((workspace) => workspace.measured?.readings ?? null);
  const error = useWorkspace((workspace) => workspace.measureError);
  const commands = useCommands();
  if (error !== null) {
    return (
      <section className="verdict" aria-label="Verdict">
        <p className="verdict-sentence">
          {error.code === "cancelled" ? "Measuring was stopped." : "Nothing could be measured."}
        </p>
        <p className="verdict-because">
          {error.code !== "cancelled" &&
            `${error.subject === "" ? "" : `${error.subject}: `}${error.problem}. ${error.remedy}. `}
          <button type="button" className="word-button" onClick={() => commands.measure()}>
            Measure again
          </button>
        </p>
      </section>
    );
  }
  if (readings === null || readings.made === 0) return <NextStep />;
  return (
    <section className="verdict" aria-label="Verdict">
      <h2 className="verdict-sentence">
        {readings.headline.map((part, i) => {
          const key = `${i} ${part.text}`;
          return part.strong ? <strong key={key}>{part.text}</strong> : <span key={key}>{part.text}</span>;
        })}
      </h2>
      <p className="verdict-because">{readings.because}</p>
    </section>
  );
}

function NextStep() {
  const commands = useCommands();
  const document = useWorkspace((workspace) => workspace.history.now);
  const passedOver = useWorkspace((workspace) => workspace.view.passedOver);
  const readings = useWorkspace((workspace) => workspace.measured?.readings ?? null);
  const busy = useWorkspace((workspace) => workspace.work.length > 0);
  const open = document.timepoints.find(({ name, scan }) => scan === null && isCompared(name, document.span));
  const next = missingLandmarks(document, readings, passedOver)[0];
  return (
    <section className="verdict" aria-label="Next step">
      <p className="verdict-sentence">
        {open === undefined ? "Mark the teeth to be measured." : "Two scans are compared."}
      </p>
      <p className="verdict-because">
        {open !== undefined && !busy && (
          <>
            The {open.name} scan is still to be opened:{" "}
            <button type="button" className="word-button" onClick={() => void commands.scans.choose(open.name)}>
              Open scan…
            </button>
          </>
        )}
        {open === undefined && next !== undefined && (
          <>
            Begin with the{" "}
            <button type="button" className="asking" onClick={() => commands.landmarks.begin(next)}>
              {targetWords(next, timepointOf(document, next.timepoint)?.landmarks ?? [])}
            </button>{" "}
            <kbd className="key">N</kbd>: a click near it is enough, it snaps to the tip. A width is there as soon as
            both of its teeth are marked on both scans. Or take{" "}
            <button type="button" className="word-button" onClick={() => void commands.landmarks.chooseFile()}>
              landmarks from a file…
            </button>
          </>
        )}
      </p>
      {open === undefined && <WhichIsWhich />}
    </section>
  );
}

/** The scans by the order they were chosen in, and the way to exchange them. */
function WhichIsWhich() {
  const commands = useCommands();
  const document = useWorkspace((workspace) => workspace.history.now);
  const { from, to } = document.span;
  const file = (name: string) => timepointOf(document, name)?.scan?.fileName ?? "";
  return (
    <p className="verdict-because">
      {from}: <strong>{file(from)}</strong>, {to}: <strong>{file(to)}</strong>.{" "}
      <button
        type="button"
        className="word-button"
        onClick={() => commands.case.act({ do: "exchange-scans", first: from, second: to })}
      >
        Exchange them
      </button>
    </p>
  );
}

const isCompared = (name: string, span: { from: string; to: string }): boolean =>
  name === span.from || name === span.to;
