import * as electron from "electron";
import { eventChannels, type MenuCommand, requestChannels } from "#core/bridge/channels";
import type { RequestName, RequestOf, ValueOf } from "#core/bridge/contract";
import type { RapheApi } from "#core/bridge/page-api";
import type { Answer, FileOffer } from "#core/bridge/shapes";

const { contextBridge, ipcRenderer } = electron;

function ask<N extends RequestName>(name: N, request: RequestOf<N>): Promise<Answer<ValueOf<N>>> {
  return ipcRenderer.invoke(requestChannels[name], request);
}

function listen<T>(channel: string, listener: (payload: T) => void): () => void {
  const forward = (_event: electron.IpcRendererEvent, payload: T): void => listener(payload);
  ipcRenderer.on(channel, forward);
  return () => {
    ipcRenderer.removeListener(channel, forward);
  };
}

const api: RapheApi = {
  startInfo: () => ask("startInfo", undefined),
  chooseScans: () => ask("chooseScans", undefined),
  openSample: (id) => ask("openSample", { id }),
  chooseMarks: () => ask("chooseMarks", undefined),
  exportSheet: (sheet) => ask("exportSheet", sheet),
  saveDraft: (draft) => ask("saveDraft", draft),
  loadDraft: () => ask("loadDraft", undefined),
  savePainted: (area) => ask("savePainted", area),
  loadPainted: (area) => ask("loadPainted", area),
  fileDigest: (token) => ask("fileDigest", { token }),
  handedOver: () => ask("handedOver", undefined),
  onDropped: (listener) => listen<FileOffer>(eventChannels.dropped, listener),
  onInvited: (listener) => listen<FileOffer>(eventChannels.invited, listener),
  onCommand: (listener) => listen<MenuCommand>(eventChannels.command, listener),
  onClosing: (listener) => listen<undefined>(eventChannels.closing, listener),
};
contextBridge.exposeInMainWorld("raphe", api);

/** Where a dropped file lies: newer Electron has `webUtils`, older ones a `path` on the file itself. */
function pathOf(file: File): string {
  // Older Electron does not have it, whatever the types say.
  const utilities = electron.webUtils as typeof electron.webUtils | undefined;
  return utilities ? utilities.getPathForFile(file) : (file as File & { path: string }).path;
}

const carriesFiles = (event: DragEvent): boolean => event.dataTransfer?.types.includes("Files") ?? false;

// Capturing, and before any script of the page: the page, where older Electron would show it the paths, sees no drop.
window.addEventListener(
  "drop",
  (event) => {
    if (!carriesFiles(event)) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    const paths = [...(event.dataTransfer?.files ?? [])].map(pathOf).filter((path) => path !== "");
    if (paths.length > 0) void ask("offerDropped", { paths });
  },
  { capture: true },
);
// Both say that files may be let go here (HTML Standard, drag-and-drop processing model): `dragenter` alone comes where
// the page has just changed under the pointer.
for (const held of ["dragenter", "dragover"] as const) {
  window.addEventListener(
    held,
    (event) => {
      if (carriesFiles(event)) event.preventDefault();
    },
    { capture: true },
  );
}
