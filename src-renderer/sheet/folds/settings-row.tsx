import type { CaseDocument } from "#core/case/case-document";
import { useCommands, useWorkspace } from "../../state/app-context";
import { QuietField } from "../quiet-field";
import { figure, SOME } from "../readers";
import { Fact, FoldRow } from "./fold";

type Settings = CaseDocument["settings"];

/** The conventions and figures that readings are made with; they are printed on the sheet. */
export function SettingsRow() {
  const commands = useCommands();
  const settings = useWorkspace((workspace) => workspace.history.now.settings);
  const set = (part: Partial<Settings>) =>
    commands.case.act({ do: "set-settings", settings: { ...settings, ...part } });
  const setScanner = (part: Partial<Settings["scanner"]>) => set({ scanner: { ...settings.scanner, ...part } });
  const field = (label: string, words: string, value: number, least: number, keep: (value: number) => void) => (
    <Fact label={words}>
      <QuietField label={label} shown={String(value)} empty="?" width={3} read={figure(least, 10)} keep={keep} />
    </Fact>
  );
  const { scanner } = settings;
  return (
    <FoldRow label="settings, mm">
      {field("least difference of a fan, millimetres", "fan from a difference of", settings.delta, SOME, (delta) =>
        set({ delta }),
      )}
      {field("scanner's uncertainty at the canines, millimetres", "scanner at the canines", scanner.atCanines, 0, (v) =>
        setScanner({ atCanines: v }),
      )}
      {field("scanner's uncertainty at the first molars, millimetres", "at the molars", scanner.atMolars, 0, (v) =>
        setScanner({ atMolars: v }),
      )}
      {field("scanner's local uncertainty, millimetres", "locally", scanner.local, 0, (local) => setScanner({ local }))}
      {field("hand's uncertainty of a width, millimetres", "hand, a width", settings.pointWidth, 0, (pointWidth) =>
        set({ pointWidth }),
      )}
      {field(
        "halves that stay are remarked on from this delivered, millimetres",
        "remark on halves that stay from",
        settings.separationFrom,
        SOME,
        (separationFrom) => set({ separationFrom }),
      )}
    </FoldRow>
  );
}
