import { UPPER_PAIRS } from "#core/arch/teeth";
import type { Plan } from "#core/case/plan";
import { WIDTHS } from "#core/readings/catalogue";
import { pairWords } from "#core/sheet/format";
import { useCommands, useWorkspace } from "../../state/app-context";
import { QuietField } from "../quiet-field";
import { figure, number, SOME, shown } from "../readers";
import { Fact, FoldRow, QuietChoice } from "./fold";

type Target = NonNullable<Plan["target"]>;

const PAIRS = UPPER_PAIRS.map(({ name }) => [name, pairWords(name)] as const);
const FIRST_TARGET: Target = { pair: "6-6", level: "cusp-tip", millimetres: 5 };

/** Where a width of a pair is taken, in the trade's words. */
const levelsOf = (pair: string) =>
  WIDTHS.filter((width) => width.pair.name === pair).map(({ level, at }) => [level, at] as const);

/** What was aimed at and is expected. */
export function PlanRow() {
  const commands = useCommands();
  const plan = useWorkspace((workspace) => workspace.history.now.plan);
  const set = (part: Partial<Plan>) => commands.case.act({ do: "set-plan", plan: { ...plan, ...part } });
  const { target } = plan;
  return (
    <FoldRow label="plan">
      {target === null ? (
        <button type="button" className="word-button" onClick={() => set({ target: FIRST_TARGET })}>
          enter the widening aimed at
        </button>
      ) : (
        <TargetFields target={target} keep={(next) => set({ target: next })} />
      )}
      <Fact label="over-correction, mm">
        <QuietField
          label="over-correction wanted, millimetres"
          shown={shown(plan.overCorrection)}
          empty="?"
          width={2}
          read={number(0, 20)}
          keep={(overCorrection) => set({ overCorrection })}
        />
      </Fact>
      <Fact label="loss expected, %">
        <QuietField
          label="share of the gain expected to be lost, per cent"
          shown={shown(plan.expectedLossPercent)}
          empty="?"
          width={2}
          read={number(0, 100)}
          keep={(expectedLossPercent) => set({ expectedLossPercent })}
        />
      </Fact>
    </FoldRow>
  );
}

function TargetFields({ target, keep }: { target: Target; keep: (target: Target | null) => void }) {
  const ofPair = (pair: string): Target => {
    const levels = levelsOf(pair).map(([level]) => level);
    return { ...target, pair, level: levels.includes(target.level) ? target.level : levels[0]! };
  };
  return (
    <Fact label="aimed at">
      <QuietField
        label="widening aimed at, millimetres"
        shown={String(target.millimetres)}
        empty="?"
        width={2}
        read={figure(SOME, 30)}
        keep={(millimetres) => keep({ ...target, millimetres })}
      />
      mm at
      <QuietChoice
        label="pair of teeth of the widening aimed at"
        value={target.pair}
        options={PAIRS}
        choose={(pair) => keep(ofPair(pair))}
      />
      <QuietChoice
        label="level of the widening aimed at"
        value={target.level}
        options={levelsOf(target.pair)}
        choose={(level) => keep({ ...target, level })}
      />
      <button
        type="button"
        className="word-button"
        aria-label="remove the widening aimed at"
        onClick={() => keep(null)}
      >
        remove
      </button>
    </Fact>
  );
}
