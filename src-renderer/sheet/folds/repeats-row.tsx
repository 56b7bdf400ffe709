import type { RepeatSet, Timepoint } from "#core/case/timepoint";
import { useCommands } from "../../state/app-context";
import { QuietField } from "../quiet-field";
import { text } from "../readers";
import { FoldRow } from "./fold";

/** The scan's landmarks placed once more, set by set, from landmark files. */
export function RepeatsRow({ timepoint }: { timepoint: Timepoint }) {
  const commands = useCommands();
  const { name, repeats } = timepoint;
  const keep = (sets: RepeatSet[]) => commands.case.act({ do: "set-repeats", timepoint: name, repeats: sets });
  return (
    <FoldRow label="placed again">
      <ol className="fold-list">
        {repeats.map((set, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: a set is known by its place in the list
          <li key={i}>
            {set.landmarks.length} landmarks by
            <QuietField
              label={`examiner of set ${i + 1} of ${name}`}
              shown={set.examiner}
              empty="initials?"
              width={2}
              read={text}
              keep={(examiner) => keep(repeats.map((one, j) => (j === i ? { ...one, examiner } : one)))}
            />
            <button
              type="button"
              className="word-button"
              aria-label={`remove set ${i + 1} of ${name}`}
              onClick={() => keep(repeats.filter((_, j) => j !== i))}
            >
              remove
            </button>
          </li>
        ))}
      </ol>
      <button
        type="button"
        className="word-button"
        aria-label={`add a set of landmarks of ${name} placed again`}
        onClick={() => void commands.landmarks.chooseRepeat(name)}
      >
        add a set from a landmark file…
      </button>
    </FoldRow>
  );
}
