import type { RapheApi } from "#core/bridge/index";
import { scansOf } from "#core/case/case-document";
import { type Commands, makeCommands } from "./state/commands";
import { type Desk, report } from "./state/desk";
import { DraftKeeper } from "./state/draft-keeper";
import { listenToKeys } from "./state/keys";
import { MeasureLoop } from "./state/measure-loop";
import { createStore, type Store } from "./state/store";
import { beginWorkspace, type Workspace } from "./state/workspace";
import { JobClient } from "./worker/job-client";

const startWorker = (): Worker => new Worker(new URL("./worker/job-worker.ts", import.meta.url), { type: "module" });

/** Puts the page together: its state, the worker, what listens to the PC and the keyboard, and the case of last time. */
export function startApp(raphe: RapheApi): { store: Store<Workspace>; commands: Commands } {
  const store = createStore(beginWorkspace());
  const jobs = new JobClient(startWorker, () => void openAgain(store, commands));
  const desk: Desk = { store, jobs, raphe };
  const loop = new MeasureLoop(desk);
  const drafts = new DraftKeeper(desk);
  const commands = makeCommands(desk, loop);
  listenToKeys(store, commands);
  raphe.onDropped((offer) => void commands.scans.take(offer));
  raphe.onInvited((offer) => void commands.scans.take(offer));
  raphe.onCommand((command) => commands.menu(command));
  void begin(desk, drafts, commands);
  return { store, commands };
}

async function begin({ store, raphe }: Desk, drafts: DraftKeeper, commands: Commands): Promise<void> {
  const answer = await raphe.startInfo();
  if (!answer.ok) return report(store, answer.error);
  const start = answer.value;
  const invited = start.invited.tickets.length + start.invited.refused.length > 0;
  // Files named at the start are a case of their own; the draft stays where it is.
  if (!invited) await drafts.restore(commands);
  store.set((now) => ({ ...now, start }));
  if (invited) await commands.scans.take(start.invited);
}

/** After the worker broke down: every scan of the case is opened again from its ticket. */
async function openAgain(store: Store<Workspace>, commands: Commands): Promise<void> {
  const lost = store.get().scans;
  store.set((now) => ({ ...now, scans: new Map(), measured: null, distances: null }));
  for (const held of lost.values()) {
    const wanted = scansOf(store.get().history.now).some(({ scan }) => scan.sha256 === held.scan.sha256);
    if (wanted) await commands.scans.reopen(held.scan, held.ticket);
  }
}
