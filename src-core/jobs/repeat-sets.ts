import { type RepeatedSets, type RepeatReadings, readRepeats, withRepeats } from "../readings/repeat-readings";
import type { Assumptions } from "../readings/uncertainty";
import type { JobRequest } from "./job-list";
import type { ScanStore } from "./scan-store";
import { endsByLandmarks, pointSet } from "./span-end";

/** What the examiner's repeats tell, and the figures that uncertainty is computed from with them. */
export interface Repeated {
  /** null: no width was read twice. */
  readonly repeats: RepeatReadings | null;
  readonly assumptions: Assumptions;
}

/**
 * The errors of the examiner's repeated readings over every scan at hand: each scan's landmarks are the first set, the
 * repeats by the same examiner follow in the order of placing, and each finds its spots as in measuring. Repeats by
 * another examiner are another question and left out.
 * @throws RapheError `bad-request` where a handle names nothing or painted bits are missing
 */
export function repeated({ document, handles, painted }: JobRequest<"measure">, store: ScanStore): Repeated {
  const { timepoints, identity, settings, span } = document;
  const sets = timepoints.flatMap((timepoint): RepeatedSets[] => {
    const { name, landmarks, repeats } = timepoint;
    const own = repeats.filter(({ examiner }) => examiner === identity.examiner).map((set) => set.landmarks);
    if (handles[name] === undefined || own.length === 0 || landmarks.length === 0) return [];
    const ends = endsByLandmarks(document, timepoint, [landmarks, ...own], handles, store, painted);
    return [{ timepoint: name, sets: ends.map(pointSet) }];
  });
  const repeats = readRepeats(sets, span);
  return repeats.levels.length === 0
    ? { repeats: null, assumptions: settings }
    : { repeats, assumptions: withRepeats(settings, repeats) };
}
