import type { MenuCommand } from "#core/bridge/index";
import type { Desk } from "../desk";
import { type CaseCommands, caseCommands } from "./case-commands";
import { type LandmarkCommands, landmarkCommands } from "./landmark-commands";
import { type LowerCommands, lowerCommands } from "./lower-commands";
import { type PaintingCommands, paintingCommands } from "./painting-commands";
import { type RecordCommands, recordCommands } from "./record-commands";
import { type ScanCommands, scanCommands } from "./scan-commands";
import { type ViewCommands, viewCommands } from "./view-commands";

/** Everything that the user can do, by what it is about. */
export interface Commands {
  readonly case: CaseCommands;
  readonly scans: ScanCommands;
  readonly lower: LowerCommands;
  readonly landmarks: LandmarkCommands;
  readonly painting: PaintingCommands;
  readonly view: ViewCommands;
  readonly record: RecordCommands;
  /** Measures again after it was stopped or went wrong. */
  measure(): void;
  /** What the application menu asks. */
  menu(command: MenuCommand): void;
}

/** What keeps the readings up with the case. */
interface Measuring {
  /** Makes room for what answers a gesture. */
  defer(): void;
  /** Measures anew. */
  again(): void;
}

export function makeCommands(desk: Desk, measuring: Measuring): Commands {
  const cases = caseCommands(desk);
  const landmarks = landmarkCommands(desk, cases, () => measuring.defer());
  const scans = scanCommands(desk, cases, landmarks);
  const record = recordCommands(desk);
  const menu: Record<MenuCommand, () => void> = {
    "new-case": cases.begin,
    "open-scans": () => void scans.choose(),
    "open-marks": () => void landmarks.chooseFile(),
    "export-sheet": () => void record.issue(),
    undo: cases.undo,
    redo: cases.redo,
  };
  return {
    case: cases,
    landmarks,
    painting: paintingCommands(desk, cases, () => measuring.defer()),
    lower: lowerCommands(desk, cases, scans),
    scans,
    record,
    view: viewCommands(desk, cases),
    measure: () => measuring.again(),
    menu: (command) => menu[command](),
  };
}
