import { type SpaceQuestion, spaceAnswered, spaceQuestions } from "#core/case/space-question";
import type { Timepoint } from "#core/case/timepoint";
import { useCommands, useWorkspace } from "../state/app-context";
import { heldFor } from "../state/workspace";
import { UnitChoice } from "../top/unit-choice";

/** Questions that a scan raises, asked where everything else stands: the unit of its numbers, and spaces that closed. */
export function Questions() {
  const timepoints = useWorkspace((workspace) => workspace.history.now.timepoints);
  const scans = useWorkspace((workspace) => workspace.scans);
  return (
    <>
      {timepoints.map((timepoint) => (
        <UnitQuestion key={`${timepoint.name} ${scans.size}`} timepoint={timepoint} />
      ))}
      {timepoints.flatMap((timepoint) =>
        spaceQuestions(timepoint).map((question) => (
          <SpaceQuestionSection key={`${timepoint.name} ${question.tooth}`} timepoint={timepoint} question={question} />
        )),
      )}
    </>
  );
}

function UnitQuestion({ timepoint }: { timepoint: Timepoint }) {
  const { name } = timepoint;
  const held = useWorkspace((workspace) => heldFor(workspace, name));
  const question = held?.report.unitQuestion ?? null;
  if (question === null) return null;
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

function SpaceQuestionSection({ timepoint, question }: { timepoint: Timepoint; question: SpaceQuestion }) {
  const commands = useCommands();
  const { tooth, text } = question;
  const answer = (isClosed: boolean) =>
    commands.case.act({
      do: "set-details",
      timepoint: timepoint.name,
      details: spaceAnswered(timepoint.details, tooth, isClosed),
    });
  return (
    <section className="question" aria-label={`Question about ${tooth} on the ${timepoint.name} scan`}>
      <p>{text}</p>
      <p className="answers">
        <button type="button" className="word-button" onClick={() => answer(true)}>
          extracted, space closed
        </button>
        <button type="button" className="word-button" onClick={() => answer(false)}>
          {tooth} is there
        </button>
      </p>
    </section>
  );
}
