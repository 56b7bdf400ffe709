import type { Expander, TurningPhase } from "./expander";

/** The recorded phases of turning as they lie to two scans. */
export interface TurningInSpan {
  /** Made between the two scans. */
  readonly within: readonly TurningPhase[];
  /** Made before the earlier scan. */
  readonly earlier: readonly TurningPhase[];
  /** Made after the later scan. */
  readonly later: readonly TurningPhase[];
  /** Begun on one side of a scan and ended on the other: how many turns belong where is not recorded. */
  readonly acrossEarlier: readonly TurningPhase[];
  readonly acrossLater: readonly TurningPhase[];
}

/**
 * Sorts the phases of turning by two scans' dates. A phase with one date is placed by that date. One without any is
 * taken to lie within the span, in retention before it, for turning is over then. A scan without a date sets no limit.
 * @param from date of the earlier scan
 * @param to date of the later scan
 * @param retention the span begins where turning ended, so that turns of its first day lie before it
 */
export function turningInSpan(
  { phases }: Pick<Expander, "phases">,
  from: string | null,
  to: string | null,
  retention: boolean,
): TurningInSpan {
  const sorted = {
    within: [] as TurningPhase[],
    earlier: [] as TurningPhase[],
    later: [] as TurningPhase[],
    acrossEarlier: [] as TurningPhase[],
    acrossLater: [] as TurningPhase[],
  };
  for (const phase of phases) sorted[placeOf(phase, from, to, retention)].push(phase);
  return sorted;
}

function placeOf(phase: TurningPhase, from: string | null, to: string | null, retention: boolean): keyof TurningInSpan {
  const begin = phase.from ?? phase.to;
  const end = phase.to ?? phase.from;
  if (begin === null || end === null) return retention ? "earlier" : "within";
  // Text of the form year-month-day sorts as the dates do.
  if (from !== null && (end < from || (end === from && (begin < from || retention)))) return "earlier";
  if (to !== null && begin > to) return "later";
  if (to !== null && end > to) return "acrossLater";
  return from !== null && begin < from ? "acrossEarlier" : "within";
}

/** The last day of turning that is recorded; null where none bears a date. */
export function lastTurningDay({ phases }: Pick<Expander, "phases">): string | null {
  const days = phases.flatMap(({ from, to }) => to ?? from ?? []);
  return days.sort().at(-1) ?? null;
}
