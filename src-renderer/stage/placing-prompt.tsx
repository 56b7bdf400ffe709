import { useCommands, useWorkspace } from "../state/app-context";
import { targetWords } from "../state/missing";
import { type Target, timepointOf } from "../state/workspace";

/** What the next click places, and the ways out of it. */
export function PlacingPrompt({ target }: { target: Target }) {
  const commands = useCommands();
  const landmarks = useWorkspace(({ history }) => timepointOf(history.now, target.timepoint)?.landmarks ?? NONE);
  return (
    <div className="placing-prompt">
      <p role="status">
        Click the <strong>{targetWords(target, landmarks)}</strong> on the {target.timepoint} scan
      </p>
      <p className="quiet">
        <span>
          aim <kbd className="key">← ↑ ↓ →</kbd> <kbd className="key">Enter</kbd>
        </span>
        <button type="button" onClick={() => commands.landmarks.passOver()}>
          not there <kbd className="key">X</kbd>
        </button>
        <button type="button" onClick={() => commands.landmarks.stop()}>
          stop <kbd className="key">Esc</kbd>
        </button>
      </p>
    </div>
  );
}

const NONE: never[] = [];
