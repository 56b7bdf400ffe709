import type { Commands } from "./commands";
import type { Store } from "./store";
import { LOOKS, type Workspace } from "./workspace";

/** How much a key makes the brush wider. */
const BRUSH_STEP = 1.25;

const isTyping = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement && target.matches("input, select, textarea, [contenteditable]");

/** The keys of the page; text fields keep theirs. */
export function listenToKeys(store: Store<Workspace>, commands: Commands): void {
  window.addEventListener("keydown", (event) => {
    if (isTyping(event.target) || event.altKey) return;
    const taken = event.ctrlKey || event.metaKey ? withControl(event, commands) : alone(event, store, commands);
    if (taken) event.preventDefault();
  });
}

function withControl(event: KeyboardEvent, commands: Commands): boolean {
  switch (event.key.toLowerCase()) {
    case "z":
      if (event.shiftKey) commands.case.redo();
      else commands.case.undo();
      return true;
    case "y":
      commands.case.redo();
      return true;
    case "o":
      void commands.scans.choose();
      return true;
    case "e":
      void commands.record.issue();
      return true;
    default:
      return false;
  }
}

function alone(event: KeyboardEvent, store: Store<Workspace>, commands: Commands): boolean {
  const look = LOOKS[Number(event.key) - 1];
  if (look !== undefined) {
    commands.view.lookFrom(look);
    return true;
  }
  switch (event.key.toLowerCase()) {
    case "o":
      commands.view.show("overlay");
      return true;
    case "d":
      commands.view.show("distance");
      return true;
    case "n":
      commands.landmarks.beginNext();
      return true;
    case "x":
      if (store.get().view.placing === null) return false;
      commands.landmarks.passOver();
      return true;
    case "[":
    case "]":
      if (store.get().view.painting === null) return false;
      commands.painting.scaleBrush(event.key === "]" ? BRUSH_STEP : 1 / BRUSH_STEP);
      return true;
    case "escape":
      if (store.get().view.painting !== null) {
        commands.painting.stop();
        return true;
      }
      if (store.get().view.placing === null && store.get().view.selected === null) return false;
      commands.landmarks.stop();
      return true;
    case "delete":
    case "backspace":
      if (store.get().view.selected === null) return false;
      commands.landmarks.removeSelected();
      return true;
    default:
      return false;
  }
}
