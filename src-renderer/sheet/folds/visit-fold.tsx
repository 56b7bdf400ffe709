import { ageInMonths, ageText } from "#core/case/age";
import type { Timepoint, VisitDetails } from "#core/case/timepoint";
import { dateText } from "#core/sheet/format";
import { APPLIANCE_WORDS, applianceText, biteText, teethText } from "#core/sheet/sections/visits";
import { useCommands, useWorkspace } from "../../state/app-context";
import { Sign } from "../../top/sign";
import { QuietField } from "../quiet-field";
import { shown, text, whole, words } from "../readers";
import { Fact, Fold, FoldRow, QuietCheck, QuietChoice } from "./fold";
import { LowerRow } from "./lower-row";
import { RepeatsRow } from "./repeats-row";
import { readTeeth, TeethRows } from "./teeth-rows";

const KINDS: readonly (readonly [Timepoint["kind"], string])[] = [
  ["before", "before"],
  ["after", "after"],
  ["retention", "in retention"],
];

const APPLIANCES = Object.entries(APPLIANCE_WORDS) as [VisitDetails["appliance"]["kind"], string][];

/** What is known of a visit beside its scan. */
export function VisitFold({ timepoint }: { timepoint: Timepoint }) {
  const commands = useCommands();
  const identity = useWorkspace((workspace) => workspace.history.now.identity);
  const many = useWorkspace((workspace) => workspace.history.now.timepoints.length > 2);
  const taken = useWorkspace((workspace) => workspace.history.now.timepoints);
  const { name, kind, date, details } = timepoint;
  const set = (part: Partial<VisitDetails>) =>
    commands.case.act({ do: "set-details", timepoint: name, details: { ...details, ...part } });
  const { appliance } = details;
  const setAppliance = (part: Partial<VisitDetails["appliance"]>) => set({ appliance: { ...appliance, ...part } });
  const age = ageInMonths(identity, date);
  const note = [
    date === null ? "" : dateText(date),
    age === null ? "" : ageText(age),
    teethText(details),
    biteText(details),
    appliance.kind === "not stated" ? "" : `appliance ${applianceText(appliance)}`,
  ].filter((part) => part !== "");
  const freeName = (typed: string) => {
    const read = words(typed);
    return read === null || taken.some((other) => other.name === read.value && other.name !== name) ? null : read;
  };
  return (
    <Fold
      title={
        <>
          <Sign kind={kind} size={10} /> {name}
        </>
      }
      note={note.join(", ")}
    >
      <FoldRow label="visit">
        <Fact label="name">
          <QuietField
            label={`name of ${name}`}
            shown={name}
            empty="name?"
            width={4}
            read={freeName}
            keep={(next) => commands.case.act({ do: "rename-timepoint", timepoint: name, name: next })}
          />
        </Fact>
        <Fact label="counts as">
          <QuietChoice
            label={`kind of ${name}`}
            value={kind}
            options={KINDS}
            choose={(next) => commands.case.act({ do: "set-kind", timepoint: name, kind: next })}
          />
        </Fact>
        <Fact label="scanner">
          <QuietField
            label={`scanner of ${name}`}
            shown={details.scanner}
            empty="make?"
            width={4}
            read={text}
            keep={(scanner) => set({ scanner })}
          />
        </Fact>
        {many && (
          <button
            type="button"
            className="word-button"
            onClick={() => commands.case.act({ do: "remove-timepoint", timepoint: name })}
          >
            remove this visit
          </button>
        )}
      </FoldRow>
      <FoldRow label="appliance">
        <QuietChoice
          label={`appliance on the ${name} scan`}
          value={appliance.kind}
          options={APPLIANCES}
          choose={(next) =>
            setAppliance({ kind: next, removedDaysAgo: next === "removed" ? appliance.removedDaysAgo : null })
          }
        />
        {appliance.kind === "removed" && (
          <Fact label="days before the scan">
            <QuietField
              label={`days between removal and the ${name} scan`}
              shown={shown(appliance.removedDaysAgo)}
              empty="?"
              width={2}
              read={whole(0, 10_000)}
              keep={(removedDaysAgo) => setAppliance({ removedDaysAgo })}
            />
          </Fact>
        )}
        <Fact label="fixed to">
          <QuietField
            label={`teeth of the appliance on the ${name} scan`}
            shown={appliance.teeth.join(" ")}
            empty="teeth?"
            width={4}
            read={readTeeth}
            keep={(teeth) => setAppliance({ teeth })}
          />
        </Fact>
        <QuietCheck
          label="fixed appliance active"
          checked={details.fixedApplianceActive}
          set={(fixedApplianceActive) => set({ fixedApplianceActive })}
        />
        <QuietCheck
          label="uprighting intended"
          checked={details.uprightingIntended}
          set={(uprightingIntended) => set({ uprightingIntended })}
        />
      </FoldRow>
      <TeethRows name={name} details={details} set={set} />
      <LowerRow timepoint={timepoint} />
      <RepeatsRow timepoint={timepoint} />
    </Fold>
  );
}
