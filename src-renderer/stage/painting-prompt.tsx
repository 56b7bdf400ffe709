import { useCommands, useWorkspace } from "../state/app-context";
import { heldFor, type Painting } from "../state/workspace";

const WORDS: Readonly<Record<Painting["area"], string>> = {
  appliance: "what the appliance covers",
  reference: "the reference",
};
/** One press makes the painted area so much wider or narrower, mm. */
const STEP = 0.5;

/** What is painted, on which scan, and what can be done with it beside the brush. */
export function PaintingPrompt({ painting, painted }: { painting: Painting; painted: boolean }) {
  const { painting: commands } = useCommands();
  const { from, to } = useWorkspace(({ history }) => history.now.span);
  const both = useWorkspace((now) => heldFor(now, from) !== null && heldFor(now, to) !== null);
  const { area, timepoint, radius, proposed } = painting;
  return (
    <div className="placing-prompt painting-prompt">
      <p role="status">
        Paint <strong>{WORDS[area]}</strong> on the {timepoint} scan
        {both && (
          <button type="button" onClick={() => commands.begin(area, timepoint === to ? from : to)}>
            rather on {timepoint === to ? from : to}
          </button>
        )}
      </p>
      <p className="quiet">
        <span>drag paints</span>
        <span>
          <kbd className="key">Alt</kbd> or <kbd className="key">⇧</kbd> wipes
        </span>
        <span>
          aim <kbd className="key">← ↑ ↓ →</kbd> <kbd className="key">Enter</kbd>
        </span>
        <span>right button turns</span>
      </p>
      <p className="quiet">
        <span>
          brush {(2 * radius).toFixed(1)} mm{" "}
          <button type="button" aria-label="narrower brush" onClick={() => commands.scaleBrush(1 / 1.25)}>
            <kbd className="key">[</kbd>
          </button>{" "}
          <button type="button" aria-label="wider brush" onClick={() => commands.scaleBrush(1.25)}>
            <kbd className="key">]</kbd>
          </button>
        </span>
        {proposed !== null && !painted && (
          <button type="button" onClick={() => commands.takeProposed()}>
            take the proposed region
          </button>
        )}
        {painted && (
          <>
            <button type="button" onClick={() => commands.widen(STEP)}>
              {STEP} mm wider
            </button>
            <button type="button" onClick={() => commands.widen(-STEP)}>
              {STEP} mm narrower
            </button>
            <button type="button" onClick={() => commands.wipe()}>
              wipe all
            </button>
          </>
        )}
        <button type="button" onClick={() => commands.stop()}>
          done <kbd className="key">Esc</kbd>
        </button>
      </p>
    </div>
  );
}
