import { useWorkspace } from "../state/app-context";
import { heldFor } from "../state/workspace";
import { UnitChoice } from "../top/unit-choice";

/** Questions that a scan raises, asked where everything else stands: so far, the unit of its numbers. */
export function Questions() {
  const timepoints = useWorkspace((workspace) => workspace.history.now.timepoints);
  const scans = useWorkspace((workspace) => workspace.scans);
  return (
    <>
      {timepoints.map((timepoint) => (
        <Question key={`${timepoint.name} ${scans.size}`} name={timepoint.name} />
      ))}
    </>
  );
}

function Question({ name }: { name: string }) {
  const held = useWorkspace((workspace) => heldFor(workspace, name));
  const timepoint = useWorkspace((workspace) => workspace.history.now.timepoints.find((one) => one.name === name));
  const question = held?.report.unitQuestion ?? null;
  if (question === null || timepoint === undefined) return null;
  return (
    <section className="question" aria-label={`Question about the ${name} scan`}>
      <p>
        <strong>{name}: </strong>
        {question.text}
      </p>
      <UnitChoice timepoint={timepoint} />
    </section>
  );
}
