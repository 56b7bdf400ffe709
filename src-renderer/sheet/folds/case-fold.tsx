import type { CaseDocument } from "#core/case/case-document";
import { useCommands, useWorkspace } from "../../state/app-context";
import { QuietField } from "../quiet-field";
import { number, SOME, shown, text, whole } from "../readers";
import { Fact, Fold, FoldRow } from "./fold";
import { PhasesRow } from "./phases-row";
import { PlanRow } from "./plan-row";
import { SettingsRow } from "./settings-row";

type Identity = CaseDocument["identity"];

/** What is known of the case beside its line of identity: record number, month of birth, screw, plan and settings. */
export function CaseFold() {
  const commands = useCommands();
  const identity = useWorkspace((workspace) => workspace.history.now.identity);
  const { expander } = identity;
  const set = (part: Partial<Identity>) =>
    commands.case.act({ do: "set-identity", identity: { ...identity, ...part } });
  const setExpander = (part: Partial<Identity["expander"]>) => set({ expander: { ...expander, ...part } });
  const ends = expander.millimetresPerTurnAtEnds;
  const setEnd = (end: "front" | "back", value: number | null) => {
    if (value === null) return setExpander({ millimetresPerTurnAtEnds: null });
    setExpander({ millimetresPerTurnAtEnds: { front: ends?.front ?? value, back: ends?.back ?? value, [end]: value } });
  };
  return (
    <Fold title="case, expander and plan">
      <FoldRow label="patient">
        <Fact label="record number">
          <QuietField
            label="record number of the practice"
            shown={identity.recordNumber}
            empty="number?"
            width={4}
            read={text}
            keep={(recordNumber) => set({ recordNumber })}
          />
        </Fact>
        <Fact label="month of birth">
          <QuietField
            label="month of birth, 1 to 12"
            shown={shown(identity.birthMonth)}
            empty="1 to 12"
            width={2}
            read={whole(1, 12)}
            keep={(birthMonth) => set({ birthMonth })}
          />
        </Fact>
      </FoldRow>
      <FoldRow label="expander">
        <Fact label="description">
          <QuietField
            label="description of the expander"
            shown={expander.description}
            empty="in your words"
            width={6}
            read={text}
            keep={(description) => setExpander({ description })}
          />
        </Fact>
        <Fact label="travel of the screw, mm">
          <QuietField
            label="whole travel of the screw, millimetres"
            shown={shown(expander.capacity)}
            empty="?"
            width={2}
            read={number(SOME, 40)}
            keep={(capacity) => setExpander({ capacity })}
          />
        </Fact>
        <Fact label="turns open at fitting">
          <QuietField
            label="turns the screw was opened before it was fitted"
            shown={shown(expander.turnsOpenAtFitting)}
            empty="?"
            width={2}
            read={whole(0, 400)}
            keep={(turnsOpenAtFitting) => setExpander({ turnsOpenAtFitting })}
          />
        </Fact>
        <Fact label="fan screw: mm a turn in front">
          <QuietField
            label="fan screw, millimetres a turn in front"
            shown={shown(ends?.front ?? null)}
            empty="–"
            width={2}
            read={number(0, 10)}
            keep={(value) => setEnd("front", value)}
          />
        </Fact>
        <Fact label="at the back">
          <QuietField
            label="fan screw, millimetres a turn at the back"
            shown={shown(ends?.back ?? null)}
            empty="–"
            width={2}
            read={number(0, 10)}
            keep={(value) => setEnd("back", value)}
          />
        </Fact>
      </FoldRow>
      <PhasesRow phases={expander.phases} keep={(phases) => setExpander({ phases })} />
      <PlanRow />
      <SettingsRow />
    </Fold>
  );
}
