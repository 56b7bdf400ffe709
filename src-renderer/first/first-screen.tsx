import { Troubles } from "../notices/troubles";
import { useCommands, useWorkspace } from "../state/app-context";
import { TestRuntimeLine } from "../top/test-runtime-line";
import { OpeningDrawing } from "./opening-drawing";

/** The page before anything is opened: what the app does, and the ways in. */
export function FirstScreen() {
  const commands = useCommands();
  const samples = useWorkspace((workspace) => workspace.start?.sampleCases ?? NO_SAMPLES);
  const left = useWorkspace((workspace) => workspace.left);
  return (
    <main className="first-screen">
      <header>
        <h1 className="wordmark">Raphe</h1>
        <TestRuntimeLine />
      </header>
      <section className="first-page panel">
        <OpeningDrawing />
        <p className="first-words">
          Two scans of the upper arch, from before and after an expansion: how much wider did it become at each pair of
          teeth, and did it open parallel or like a fan?
        </p>
        <p className="quiet first-how">
          You mark the teeth, Raphe measures and writes the sheet for the record. Every number says how sure it is; what
          cannot be told is withheld with its reason.
        </p>
        <div className="first-ways">
          <button type="button" className="main-button" onClick={() => void commands.scans.choose()}>
            Open scans…
          </button>
          <p className="quiet">
            or drop them anywhere in this window
            <br />
            STL, PLY or OBJ, the earlier one first
          </p>
        </div>
        {left !== null && (
          <p className="first-back">
            <button type="button" className="word-button" onClick={() => commands.case.goBack()}>
              Back to the case before
              {left.history.now.identity.pseudonym === "" ? "" : `: ${left.history.now.identity.pseudonym}`}
            </button>
          </p>
        )}
        <ul className="first-samples">
          {samples.map((sample) => (
            <li key={sample.id}>
              <button type="button" className="word-button" onClick={() => void commands.scans.openSample(sample.id)}>
                {sample.title}
              </button>
            </li>
          ))}
        </ul>
        <Troubles />
      </section>
      <p className="first-use quiet">
        Intended use: measures and documents; does not diagnose. Not a certified medical device. Works on this PC alone,
        nothing is sent anywhere.
      </p>
    </main>
  );
}

const NO_SAMPLES: never[] = [];
