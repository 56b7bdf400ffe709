import { DropShade } from "./first/drop-shade";
import { FirstScreen } from "./first/first-screen";
import { BrokenPage } from "./notices/broken-page";
import { ProgressLine } from "./notices/progress-line";
import { ProfilePanel } from "./profile/profile-panel";
import { SheetPage } from "./sheet/sheet-page";
import { StagePanel } from "./stage/stage-panel";
import { AppProvider, useWorkspace } from "./state/app-context";
import type { Commands } from "./state/commands";
import type { Store } from "./state/store";
import { isEmpty, type Workspace } from "./state/workspace";
import { TopBar } from "./top/top-bar";

/** The whole page. */
export function App({ app }: { app: { store: Store<Workspace>; commands: Commands } }) {
  return (
    <AppProvider app={app}>
      <BrokenPage>
        <Screen />
      </BrokenPage>
      <ProgressLine />
      <DropShade />
    </AppProvider>
  );
}

function Screen() {
  const empty = useWorkspace((workspace) => isEmpty(workspace.history.now));
  const started = useWorkspace((workspace) => workspace.start !== null);
  if (!started) return null;
  return empty ? <FirstScreen /> : <WorkspaceScreen />;
}

function WorkspaceScreen() {
  return (
    <div className="workspace">
      <TopBar />
      <SheetPage />
      <div className="right-side">
        <StagePanel />
        <ProfilePanel />
      </div>
    </div>
  );
}
