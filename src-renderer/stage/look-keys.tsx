import { useCommands, useWorkspace } from "../state/app-context";
import { heldFor, LOOKS, type Look } from "../state/workspace";

const WORDS: Readonly<Record<Look, string>> = { below: "from below", front: "front", right: "right", left: "left" };

const PAINT = { appliance: "paint what the appliance covers", reference: "paint the reference" } as const;

/** From where the stage looks and what it shows, each a word with its key. */
export function LookKeys() {
  const commands = useCommands();
  const look = useWorkspace(({ view }) => (view.lookHeld ? view.look.from : null));
  const show = useWorkspace(({ view }) => (view.placing === null ? view.show : null));
  const painting = useWorkspace(({ view }) => view.painting?.area ?? null);
  const open = useWorkspace((now) => {
    const { from, to } = now.history.now.span;
    return heldFor(now, from) !== null || heldFor(now, to) !== null;
  });
  const laidOver = useWorkspace(({ measured }) => measured?.overlay != null);
  return (
    <div className="look-keys">
      <fieldset>
        <legend className="read-aloud">look</legend>
        {LOOKS.map((from, i) => (
          <button key={from} type="button" aria-pressed={look === from} onClick={() => commands.view.lookFrom(from)}>
            {WORDS[from]} <kbd className="key">{i + 1}</kbd>
          </button>
        ))}
      </fieldset>
      {laidOver && (
        <fieldset>
          <legend className="read-aloud">show</legend>
          <button type="button" aria-pressed={show === "overlay"} onClick={() => commands.view.show("overlay")}>
            overlay <kbd className="key">O</kbd>
          </button>
          <button type="button" aria-pressed={show === "distance"} onClick={() => commands.view.show("distance")}>
            distance <kbd className="key">D</kbd>
          </button>
        </fieldset>
      )}
      {open && (
        <fieldset className="paint-keys">
          <legend className="read-aloud">paint</legend>
          {(["appliance", "reference"] as const).map((area) => (
            <button
              key={area}
              type="button"
              aria-pressed={painting === area}
              onClick={() => (painting === area ? commands.painting.stop() : commands.painting.begin(area))}
            >
              {PAINT[area]}
            </button>
          ))}
        </fieldset>
      )}
    </div>
  );
}
