import type { CaseDocument } from "#core/case/case-document";
import { netTurns } from "#core/case/expander";
import { useCommands, useWorkspace } from "../state/app-context";
import { QuietField } from "./quiet-field";
import { number, SOME, shown, text, whole } from "./readers";

type Identity = CaseDocument["identity"];
type Expander = Identity["expander"];

/** The one phase that is entered in the line, with what the folded rows say of it. */
const onlyPhase = ({ phases }: Expander): Expander["phases"][number] =>
  phases[0] ?? { direction: "opening", turns: 0, from: null, to: null };

const KINDS: readonly Expander["kind"][] = ["not stated", "tooth-borne", "miniscrew-carried", "surgically assisted"];

/** Who and what, without a name; every word after a label is a field. */
export function IdentityLine() {
  const commands = useCommands();
  const identity = useWorkspace((workspace) => workspace.history.now.identity);
  const { expander } = identity;
  const set = (part: Partial<Identity>) =>
    commands.case.act({ do: "set-identity", identity: { ...identity, ...part } });
  const setExpander = (part: Partial<Expander>) => set({ expander: { ...expander, ...part } });
  return (
    <div className="identity-line">
      <span className="fact">
        case
        <QuietField
          label="case, a code and never a name"
          shown={identity.pseudonym}
          empty="code?"
          width={2}
          read={text}
          keep={(pseudonym) => set({ pseudonym })}
        />
      </span>
      <span className="fact">
        born
        <QuietField
          label="year of birth"
          shown={shown(identity.birthYear)}
          empty="year?"
          width={2}
          read={whole(1900, 2100)}
          keep={(birthYear) => set({ birthYear })}
        />
      </span>
      <span className="fact">
        examiner
        <QuietField
          label="examiner"
          shown={identity.examiner}
          empty="initials?"
          width={2}
          read={text}
          keep={(examiner) => set({ examiner })}
        />
      </span>
      <span className="fact">
        expander
        <select
          className="quiet-field"
          aria-label="kind of expander"
          value={expander.kind}
          onChange={(event) => setExpander({ kind: event.target.value as Expander["kind"] })}
        >
          {KINDS.map((kind) => (
            <option key={kind}>{kind}</option>
          ))}
        </select>
      </span>
      <span className="fact">
        mm a turn
        <QuietField
          label="millimetres a turn"
          shown={shown(expander.millimetresPerTurn)}
          empty="?"
          width={1}
          read={number(SOME, 10)}
          keep={(millimetresPerTurn) => setExpander({ millimetresPerTurn })}
        />
      </span>
      <span className="fact">
        turns
        {expander.phases.length > 1 ? (
          <strong> {netTurns(expander)} net</strong>
        ) : (
          <QuietField
            label="turns made in the mouth"
            shown={shown(netTurns(expander))}
            empty="?"
            width={1}
            read={whole(0, 400)}
            keep={(turns) => setExpander({ phases: turns === null ? [] : [{ ...onlyPhase(expander), turns }] })}
          />
        )}
      </span>
    </div>
  );
}
