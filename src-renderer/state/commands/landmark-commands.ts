import type { Landmark } from "#core/arch/landmark";
import { parseMarks } from "#core/arch/marks";
import type { CaseDocument } from "#core/case/case-document";
import { landmarksFor } from "#core/case/described-case";
import type { Vector3 } from "#core/geometry/vector";
import type { JobAnswer } from "#core/jobs/job-list";
import { Latest } from "../../worker/latest";
import { attempt, type Desk, report } from "../desk";
import { missingLandmarks, spotKey } from "../missing";
import { heldFor, type Target, timepointOf } from "../workspace";
import type { CaseCommands } from "./case-commands";

/** Commands about landmarks. */
export interface LandmarkCommands {
  /** The stage asks for this landmark from now on. */
  begin(target: Target): void;
  /** The stage asks for the next one that is missing; nothing happens where none is. */
  beginNext(): void;
  /** Where a click at `at` (file coordinates, mm) would go; null where a newer question came or the worker cannot say. */
  snap(target: Target, at: Vector3, towardsEye: Vector3): Promise<JobAnswer<"snap-landmark"> | null>;
  /** Places the landmark that is asked for, then asks for the next. */
  place(at: Vector3): void;
  /** The tooth is not there: asks for the next one instead. */
  passOver(): void;
  stop(): void;
  select(timepoint: string, landmark: Landmark | null): void;
  removeSelected(): void;
  /** Asks the user for a landmark file. */
  chooseFile(): Promise<void>;
  /** Asks the user for a landmark file of a scan whose landmarks were placed once more. */
  chooseRepeat(timepoint: string): Promise<void>;
  /**
   * Takes the landmarks of a marks.json.
   * @throws RapheError `marks-malformed`
   */
  take(name: string, text: string): void;
}

export function landmarkCommands(desk: Desk, cases: CaseCommands, defer: () => void): LandmarkCommands {
  const { store, jobs, raphe } = desk;
  const latest = new Latest();

  const show = (placing: Target | null) =>
    store.set((now) => ({ ...now, view: { ...now.view, placing, painting: null, selected: null, show: "overlay" } }));

  /** The next missing one, first of the same scan. */
  function next(after: Target | null): Target | null {
    const { history, measured, view } = store.get();
    const missing = missingLandmarks(history.now, measured?.readings ?? null, view.passedOver);
    return missing.find((target) => target.timepoint === after?.timepoint) ?? missing[0] ?? null;
  }

  function take(name: string, text: string): void {
    const marks = parseMarks(text, name);
    for (const [named, { landmarks }] of Object.entries(marks.scans)) {
      const timepoint = timepointNamed(store.get().history.now, named);
      if (timepoint === null) {
        report(store, {
          code: "marks-missing-scan",
          subject: name,
          problem: `the case has no timepoint named '${named}'`,
          remedy: "Name the scans in the file as the time line does; the other landmarks were taken",
        });
      } else {
        cases.act({ do: "take-landmarks", timepoint, landmarks });
      }
    }
  }

  return {
    begin: show,
    beginNext: () => {
      const target = next(store.get().view.placing);
      if (target !== null) show(target);
    },
    snap: async (target, at, towardsEye) => {
      const held = heldFor(store.get(), target.timepoint);
      const timepoint = timepointOf(store.get().history.now, target.timepoint);
      if (held === null || timepoint === undefined) return null;
      defer();
      const landmark: Landmark = {
        place: target.place,
        at: [...at],
        ...(target.tooth === undefined ? {} : { tooth: target.tooth }),
      };
      const request = { handle: held.handle, landmark, landmarks: timepoint.landmarks, towardsEye };
      try {
        return await jobs.run("snap-landmark", request, { signal: latest.next(), urgent: true });
      } catch {
        return null; // given up for a newer one, or nothing to snap to: the click itself decides
      }
    },
    place: (at) => {
      const { placing } = store.get().view;
      if (placing === null) return;
      latest.stop();
      const { tooth, place, timepoint } = placing;
      cases.act({
        do: "place-landmark",
        timepoint,
        landmark: { place, at: [...at], ...(tooth === undefined ? {} : { tooth }) },
      });
      show(next(placing));
    },
    passOver: () => {
      const { placing } = store.get().view;
      if (placing === null) return;
      store.set((now) => ({
        ...now,
        view: { ...now.view, passedOver: [...now.view.passedOver, spotKey(placing)] },
      }));
      show(next(placing));
    },
    stop: () => {
      latest.stop();
      show(null);
    },
    select: (timepoint, landmark) =>
      store.set((now) => ({
        ...now,
        view: { ...now.view, selected: landmark === null ? null : { timepoint, landmark } },
      })),
    removeSelected: () => {
      const { selected } = store.get().view;
      if (selected !== null) cases.act({ do: "remove-landmark", ...selected });
    },
    chooseRepeat: async (name) => {
      const answer = await raphe.chooseMarks();
      if (!answer.ok) return report(store, answer.error);
      const file = answer.value;
      if (file === null) return;
      await attempt(store, file.name, async () => {
        const timepoint = timepointOf(store.get().history.now, name);
        if (timepoint === undefined) return;
        const landmarks = landmarksFor(parseMarks(file.text, file.name), [name], file.name);
        const { examiner } = store.get().history.now.identity;
        cases.act({ do: "set-repeats", timepoint: name, repeats: [...timepoint.repeats, { examiner, landmarks }] });
      });
    },
    chooseFile: async () => {
      const answer = await raphe.chooseMarks();
      if (!answer.ok) return report(store, answer.error);
      const file = answer.value;
      if (file !== null) await attempt(store, file.name, async () => take(file.name, file.text));
    },
    take,
  };
}

/** The timepoint that a landmark file names: as it is, or with hyphens for blanks ('in-retention'); null for none. */
function timepointNamed(document: CaseDocument, named: string): string | null {
  const names = [named, named.replaceAll("-", " ")];
  return names.find((name) => timepointOf(document, name) !== undefined) ?? null;
}
