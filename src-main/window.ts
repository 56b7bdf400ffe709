import { join } from "node:path";
import { app, BrowserWindow } from "electron";
import { PAGE_ADDRESS } from "./page-origin";

const RELOAD_AT_MOST_EVERY_MS = 10_000;

/** Opens the app's window on its page. */
export function openWindow(): BrowserWindow {
  const window = new BrowserWindow({
    title: "Raphe",
    width: 1600,
    height: 1000,
    minWidth: 1100,
    minHeight: 700,
    backgroundColor: "#e9e6de",
    autoHideMenuBar: true,
    show: false,
    webPreferences: {
      preload: join(__dirname, "../preload/index.cjs"),
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      webSecurity: true,
      webviewTag: false,
      spellcheck: false,
    },
  });
  window.once("ready-to-show", () => window.show());
  let reloaded = 0;
  window.webContents.on("render-process-gone", (_event, details) => {
    console.error(`the page's process ended: ${details.reason}`);
    // The page finds its draft again; a page that dies at once every time would do so for ever.
    if (Date.now() - reloaded < RELOAD_AT_MOST_EVERY_MS) return app.exit(70);
    reloaded = Date.now();
    window.reload();
  });
  window.loadURL(PAGE_ADDRESS).catch((error: { code?: string }) => {
    // A reload while the page is still loading gives up the first load; that is no failure.
    if (error.code !== "ERR_ABORTED") throw error;
  });
  return window;
}
