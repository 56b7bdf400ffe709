import type { TurningPhase } from "#core/case/expander";
import { DateField } from "../../top/date-field";
import { QuietField } from "../quiet-field";
import { figure } from "../readers";
import { FoldRow, QuietChoice } from "./fold";

const NEW_PHASE: TurningPhase = { direction: "opening", turns: 0, from: null, to: null };

/** The stretches of turning, one a line. */
export function PhasesRow({
  phases,
  keep,
}: {
  phases: readonly TurningPhase[];
  keep: (phases: TurningPhase[]) => void;
}) {
  const change = (index: number, part: Partial<TurningPhase>) =>
    keep(phases.map((phase, i) => (i === index ? { ...phase, ...part } : phase)));
  return (
    <FoldRow label="turning">
      <ol className="fold-list">
        {phases.map((phase, i) => {
          const name = `phase ${i + 1}`;
          return (
            // biome-ignore lint/suspicious/noArrayIndexKey: a phase is known by its place in the order of time
            <li key={i}>
              <QuietField
                label={`turns of ${name}`}
                shown={String(phase.turns)}
                empty="?"
                width={2}
                read={wholeTurns}
                keep={(turns) => change(i, { turns })}
              />
              turns
              <QuietChoice
                label={`direction of ${name}`}
                value={phase.direction}
                options={[
                  ["opening", "opening"],
                  ["closing", "closing"],
                ]}
                choose={(direction) => change(i, { direction })}
              />
              from
              <DateField
                label={`first day of ${name}`}
                date={phase.from}
                className="fold-date"
                keep={(from) => change(i, { from })}
              />
              to
              <DateField
                label={`last day of ${name}`}
                date={phase.to}
                className="fold-date"
                keep={(to) => change(i, { to })}
              />
              <button
                type="button"
                className="word-button"
                aria-label={`remove ${name}`}
                onClick={() => keep(phases.filter((_, j) => j !== i))}
              >
                remove
              </button>
            </li>
          );
        })}
      </ol>
      <button type="button" className="word-button" onClick={() => keep([...phases, NEW_PHASE])}>
        add a phase of turning
      </button>
    </FoldRow>
  );
}

const wholeTurns = (typed: string) => {
  const read = figure(0, 400)(typed);
  return read !== null && Number.isInteger(read.value) ? read : null;
};
