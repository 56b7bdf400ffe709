// Names only, without zod: the preload script, which may load nothing, bundles this file.
import type { RequestName } from "./contract";

/** Channel of each request that the page can make. */
export const requestChannels = {
  startInfo: "raphe:start-info",
  chooseScans: "raphe:choose-scans",
  offerDropped: "raphe:offer-dropped",
  openSample: "raphe:open-sample",
  chooseMarks: "raphe:choose-marks",
  exportSheet: "raphe:export-sheet",
  saveDraft: "raphe:save-draft",
  loadDraft: "raphe:load-draft",
  savePainted: "raphe:save-painted",
  loadPainted: "raphe:load-painted",
  fileDigest: "raphe:file-digest",
  handedOver: "raphe:handed-over",
} as const satisfies Record<RequestName, string>;

/** Channel of each event that main sends to the page. */
export const eventChannels = {
  dropped: "raphe:dropped",
  invited: "raphe:invited",
  command: "raphe:command",
  closing: "raphe:closing",
} as const;

/** What the application menu asks of the page. */
export const menuCommands = ["new-case", "open-scans", "open-marks", "export-sheet", "undo", "redo"] as const;
export type MenuCommand = (typeof menuCommands)[number];
