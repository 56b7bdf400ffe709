import { parseMarks } from "#core/arch/marks";
import { scaled } from "#core/case/actions";
import { landmarksFor } from "#core/case/described-case";
import { lowerScanName, type Timepoint } from "#core/case/timepoint";
import { MILLIMETRES, type Unit } from "#core/scan/unit";
import { attempt, type Desk, report } from "../desk";
import { type HeldScan, scanKey, timepointOf } from "../workspace";
import type { CaseCommands } from "./case-commands";
import type { ScanCommands } from "./scan-commands";

/** Commands about the lower arch of a visit. */
export interface LowerCommands {
  /** Asks the user for the scan of the lower arch; another scan drops the landmarks of the one before. */
  chooseScan(timepoint: string): Promise<void>;
  /** Opens it again with its numbers in another unit. */
  setUnit(timepoint: string, unit: Unit): Promise<void>;
  /** Asks the user for a landmark file of the lower scan. */
  chooseMarks(timepoint: string): Promise<void>;
}

export function lowerCommands({ store, raphe }: Desk, cases: CaseCommands, scans: ScanCommands): LowerCommands {
  const lowerOf = (timepoint: string): Timepoint["lower"] =>
    timepointOf(store.get().history.now, timepoint)?.lower ?? null;
  const set = (timepoint: string, lower: Timepoint["lower"]) => cases.act({ do: "set-lower", timepoint, lower });

  return {
    chooseScan: async (timepoint) => {
      const answer = await raphe.chooseScans();
      if (!answer.ok) return report(store, answer.error);
      for (const error of answer.value.refused) report(store, error);
      const ticket = answer.value.tickets[0];
      if (ticket === undefined) return;
      await attempt(store, ticket.name, async () => {
        const held = await scans.hold(ticket, "mm");
        if (held === null) return;
        const now = lowerOf(timepoint);
        const same = now?.scan?.sha256 === held.scan.sha256;
        set(timepoint, { scan: held.scan, landmarks: same ? now.landmarks : [] });
      });
    },
    setUnit: async (timepoint, unit) => {
      const lower = lowerOf(timepoint);
      const scan = lower?.scan ?? null;
      const held: HeldScan | undefined = scan === null ? undefined : store.get().scans.get(scanKey(scan));
      if (scan === null || held === undefined || scan.unit === unit) return;
      await attempt(store, scan.fileName, async () => {
        const again = await scans.hold(held.ticket, unit);
        if (again === null || lowerOf(timepoint) !== lower) return;
        const factor = MILLIMETRES[unit] / MILLIMETRES[scan.unit];
        set(timepoint, { scan: again.scan, landmarks: scaled(lower!.landmarks, factor) });
      });
    },
    chooseMarks: async (timepoint) => {
      const answer = await raphe.chooseMarks();
      if (!answer.ok) return report(store, answer.error);
      const file = answer.value;
      if (file === null) return;
      await attempt(store, file.name, async () => {
        const names = [lowerScanName(timepoint), "lower", timepoint];
        const landmarks = landmarksFor(parseMarks(file.text, file.name), names, file.name);
        set(timepoint, { scan: lowerOf(timepoint)?.scan ?? null, landmarks });
      });
    },
  };
}
