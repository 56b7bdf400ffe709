import type { BrowserWindow } from "electron";

/** How long a page may take to hand over what waits to be saved, ms: one that hangs shall not keep its window for ever. */
const LONGEST_WAIT_MS = 30_000;

/**
 * Lets a window close only once its page has handed over what it had not saved yet: a browser gives a busy page about a
 * second to do so by itself, and on a slow PC the last entry would be lost.
 * @param askPage tells the page that its window is to close; false where there is no page yet that could answer
 * @returns to be called when the page has handed everything over
 */
export function closeOnceHandedOver(window: BrowserWindow, askPage: () => boolean): () => void {
  let handedOver = false;
  let patience: NodeJS.Timeout | undefined;
  window.on("close", (event) => {
    if (handedOver || !askPage()) return;
    event.preventDefault();
    patience ??= setTimeout(() => window.destroy(), LONGEST_WAIT_MS);
  });
  window.on("closed", () => clearTimeout(patience));
  return () => {
    handedOver = true;
    window.close();
  };
}
