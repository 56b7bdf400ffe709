import { app, session } from "electron";
import { isPageAddress } from "./page-origin";

// What a page may load at all; everything else, the network above all, is refused whatever the page's policy says.
const LOADABLE = new Set(["app:", "blob:", "data:"]);

/** Denies every page of the app: the network, permissions, devices, navigation, new windows, embedded pages. */
export function hardenPages(): void {
  const pages = session.defaultSession;
  pages.webRequest.onBeforeRequest((details, decide) => {
    decide({ cancel: !LOADABLE.has(new URL(details.url).protocol) });
  });
  pages.setPermissionRequestHandler((_contents, _permission, decide) => decide(false));
  pages.setPermissionCheckHandler(() => false);
  pages.setDevicePermissionHandler(() => false);
  app.on("web-contents-created", (_event, contents) => {
    contents.setWindowOpenHandler(() => ({ action: "deny" }));
    contents.on("will-navigate", (event, address) => {
      if (!isPageAddress(address)) event.preventDefault();
    });
    contents.on("will-redirect", (event) => event.preventDefault());
    contents.on("will-attach-webview", (event) => event.preventDefault());
  });
}
