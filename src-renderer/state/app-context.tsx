import { createContext, type ReactNode, useContext, useSyncExternalStore } from "react";
import type { Commands } from "./commands";
import type { Store } from "./store";
import type { Workspace } from "./workspace";

interface App {
  readonly store: Store<Workspace>;
  readonly commands: Commands;
}

const AppContext = createContext<App | null>(null);

export function AppProvider({ app, children }: { app: App; children: ReactNode }) {
  return <AppContext value={app}>{children}</AppContext>;
}

function useApp(): App {
  const app = useContext(AppContext);
  if (app === null) throw new Error("a part of the page stands outside of its app");
  return app;
}

/** A part of the workspace; the component is drawn again when that part becomes another object. */
export function useWorkspace<T>(select: (workspace: Workspace) => T): T {
  const { store } = useApp();
  return useSyncExternalStore(store.subscribe, () => select(store.get()));
}

/** Everything that the user can do. */
export const useCommands = (): Commands => useApp().commands;
