import { join } from "node:path";
import { app, type BrowserWindow } from "electron";
import { eventChannels } from "#core/bridge/channels";
import { answerRequests } from "./answer-requests";
import { closeOnceHandedOver } from "./close-window";
import { DraftStore } from "./draft-store";
import { exportIntoNewFolder } from "./export-folder";
import { askForFolder, askForMarks, askForScans } from "./file-dialogs";
import { FileTickets } from "./file-tickets";
import { hardenPages } from "./harden";
import { becomeOnlyInstance, filesOfCommandLine } from "./invited-files";
import { endOnUncaughtErrors } from "./last-words";
import { setMenu } from "./menu";
import { PaintedStore } from "./painted-store";
import { offeredSamples, openSampleCase } from "./sample-cases";
import { registerPageScheme, servePage } from "./serve-page";
import { openWindow } from "./window";

/** Electron versions before this one are out of support and serve the tests only. */
const OLDEST_SUPPORTED_ELECTRON = 42;

endOnUncaughtErrors();
// Asking for the sandbox everywhere would take --no-sandbox back, and root, who needs that, could start nothing.
if (!app.commandLine.hasSwitch("no-sandbox")) app.enableSandbox();
registerPageScheme();

const tickets = new FileTickets();
const samples = app.isPackaged ? join(process.resourcesPath, "sample-meshes") : join(app.getAppPath(), "sample-meshes");
let window: BrowserWindow | null = null;

// Files that were opened from outside wait here until the page has asked for its start.
let waiting: string[] = [];
let pageStarted = false;
let letClose = (): void => undefined;

function send(channel: (typeof eventChannels)[keyof typeof eventChannels], payload: unknown): void {
  window?.webContents.send(channel, payload);
}

async function invite(paths: readonly string[]): Promise<void> {
  if (window?.isMinimized()) window.restore();
  window?.focus();
  if (!pageStarted) waiting.push(...paths);
  else if (paths.length > 0) send(eventChannels.invited, await tickets.offer(paths));
}

function answerPage(drafts: DraftStore, painted: PaintedStore): void {
  answerRequests({
    startInfo: async () => {
      const sampleCases = await offeredSamples(samples);
      const invited = await tickets.offer(waiting);
      waiting = [];
      pageStarted = true;
      return {
        version: app.getVersion(),
        testRuntime: Number.parseInt(process.versions.electron, 10) < OLDEST_SUPPORTED_ELECTRON,
        invited,
        sampleCases,
      };
    },
    chooseScans: async (_request, asking) => tickets.offer(await askForScans(asking)),
    offerDropped: async ({ paths }) => {
      send(eventChannels.dropped, await tickets.offer(paths));
    },
    openSample: ({ id }) => openSampleCase(samples, id, tickets),
    chooseMarks: (_request, asking) => askForMarks(asking, tickets),
    exportSheet: async (sheet, asking) => {
      const parent = await askForFolder(asking);
      return parent === null ? null : exportIntoNewFolder(parent, sheet);
    },
    saveDraft: async ({ caseId, text, scans, painted: areas }) => {
      const draft = { caseId, text, scans: scans.map(({ key, token }) => ({ key, path: tickets.path(token) })) };
      await drafts.save(draft, () => painted.require(areas));
    },
    loadDraft: async () => {
      const found = await drafts.load();
      if (found === null) return null;
      const { caseId, text, scans } = found.draft;
      const reopened = await Promise.all(
        scans.map(async ({ key, path }) => ({ key, offer: await tickets.offer([path]) })),
      );
      return {
        caseId,
        text,
        scans: reopened.flatMap(({ key, offer }) => offer.tickets.map((ticket) => ({ key, ticket }))),
        lost: reopened.flatMap(({ key, offer }) => offer.refused.map((error) => ({ key, error }))),
        olderState: found.olderState,
      };
    },
    savePainted: async (area) => {
      await painted.save(area);
    },
    loadPainted: (area) => painted.load(area),
    fileDigest: ({ token }) => tickets.digest(token),
    handedOver: async () => {
      setImmediate(letClose); // after the answer
    },
  });
}

/** Lets a save that the page asked for while its window closed come to its end. */
function quitOnlyWhenSettled(drafts: DraftStore): void {
  app.on("will-quit", (event) => {
    event.preventDefault();
    void drafts.settled().then(() => app.exit());
  });
}

if (becomeOnlyInstance((paths) => void invite(paths))) {
  waiting.push(...filesOfCommandLine());
  app.on("window-all-closed", () => app.quit());
  void app.whenReady().then(() => {
    hardenPages();
    servePage(join(__dirname, "../renderer"), tickets);
    const folder = join(app.getPath("userData"), "draft");
    const drafts = new DraftStore(folder);
    answerPage(drafts, new PaintedStore(join(folder, "painted")));
    quitOnlyWhenSettled(drafts);
    setMenu((command) => send(eventChannels.command, command));
    window = openWindow();
    letClose = closeOnceHandedOver(window, () => {
      if (pageStarted) send(eventChannels.closing, undefined);
      return pageStarted;
    });
    window.on("closed", () => {
      window = null;
    });
  });
} else {
  app.quit();
}
