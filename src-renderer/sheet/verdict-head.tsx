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
          const Weight = part.strong ? "strong" : "span";
          return (
            <Weight key={key}>
              <Unbroken text={part.text} />
            </Weight>
          );
        })}
      </h2>
      <p className="verdict-because">{readings.because}</p>
      {readings.warnings.length > 0 && (
        <p className="verdict-because">
          <button
            type="button"
            className="asking"
            onClick={() => document.getElementById("section-warnings")?.scrollIntoView({ block: "start" })}
          >
            {readings.warnings.length === 1 ? "One warning" : `${readings.warnings.length} warnings`}
          </button>{" "}
          to be read before this is used.
        </p>
      )}
    </section>
  );
}

/** Text whose hyphenated words and pairs of teeth stay in one line. */
function Unbroken({ text }: { text: string }) {
  return text.split(/(\S+[-–]\S+)/).map((part, i) => {
    const key = `${i} ${part}`;
    return i % 2 === 1 ? (
      <span key={key} className="nowrap">
        {part}
      </span>
    ) : (
      part
    );
  });
}

function NextStep() {
  const commands = useCommands();
  const document = useWorkspace((workspace) => workspace.history.now);
  const passedOver = useWorkspace((workspace) => workspace.view.passedOver);
  const readings = useWorkspace((workspace) => workspace.measured?.readings ?? null);
  const busy = useWorkspace((workspace) => workspace.work.length > 0);
  const open = document.timepoints.find(({ name, scan }) => scan === null && isCompared(name, document.span));
  const marked = document.timepoints.some((t) => t.landmarks.length > 0);
  const measuring = busy && marked && readings === null;
  const sentence =
    open !== undefined
      ? busy
        ? "The scans are being opened."
        : "Two scans are compared."
      : measuring
        ? "Measuring …"
        : "Mark the teeth to be measured.";
  const next = missingLandmarks(document, readings, passedOver)[0];
  return (
    <section className="verdict" aria-label="Next step">
      <p className="verdict-sentence">{sentence}</p>
      <p className="verdict-because">
        {open !== undefined && !busy && (
          <>
            The {open.name} scan is still to be opened:{" "}
            <button type="button" className="word-button" onClick={() => void commands.scans.choose(open.name)}>
              Open scan…
            </button>
          </>
        )}
        {open === undefined && !measuring && next !== undefined && (
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
      {open === undefined && !measuring && <WhichIsWhich />}
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
