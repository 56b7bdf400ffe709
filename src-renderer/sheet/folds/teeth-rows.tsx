import { type KeyboardEvent, useState } from "react";
import { isTooth } from "#core/arch/teeth";
import { Crossbite, ToothState, type VisitDetails } from "#core/case/timepoint";
import { BITE_WORDS, TOOTH_WORDS } from "#core/sheet/sections/visits";
import { FoldRow } from "./fold";

/** Upper teeth as one looks at them: the patient's right is on the left. */
const TEETH = [17, 16, 15, 14, 13, 12, 11, 21, 22, 23, 24, 25, 26, 27] as const;

const STATES = ToothState.options;
/** Nothing stated, then as seen. */
const BITES = ["", ...Crossbite.options] as const;

/** In a cell of the row there is room for one short word. */
const STATE_SHORT: Readonly<Record<ToothState, string>> = {
  present: "·",
  deciduous: "decid.",
  erupting: "erupts",
  missing: "missing",
  "extracted-space-closed": "closed",
};
const BITE_SHORT: Readonly<Record<(typeof BITES)[number], string>> = {
  "": "·",
  normal: "normal",
  "edge-to-edge": "edge",
  crossbite: "cross",
  "scissor-bite": "scissor",
};

/** Teeth written as '16 26' or '16, 26'. */
export function readTeeth(typed: string): { value: number[] } | null {
  const teeth = typed.split(/[\s,;]+/).flatMap((part) => (part === "" ? [] : [Number(part)]));
  return teeth.every(isTooth) ? { value: teeth } : null;
}

/** How the teeth stand and bite on a scan, a row each to click or step through. */
export function TeethRows({
  name,
  details,
  set,
}: {
  name: string;
  details: VisitDetails;
  set: (part: Partial<VisitDetails>) => void;
}) {
  const stateOf = (tooth: number) => details.teeth.find((one) => one.tooth === tooth)?.state ?? "present";
  const biteOf = (tooth: number) => details.crossbite.find((one) => one.tooth === tooth)?.relation ?? "";
  const setState = (tooth: number, state: ToothState) => {
    const others = details.teeth.filter((one) => one.tooth !== tooth);
    set({ teeth: state === "present" ? others : [...others, { tooth, state }] });
  };
  const setBite = (tooth: number, relation: (typeof BITES)[number]) => {
    const others = details.crossbite.filter((one) => one.tooth !== tooth);
    set({ crossbite: relation === "" ? others : [...others, { tooth, relation }] });
  };
  return (
    <>
      <FoldRow label="teeth">
        <ToothRow
          label={`teeth on the ${name} scan`}
          options={STATES}
          valueAt={stateOf}
          short={(state) => STATE_SHORT[state]}
          words={(state) => TOOTH_WORDS[state]}
          quiet="present"
          set={setState}
        />
      </FoldRow>
      <FoldRow label="bite">
        <ToothRow
          label={`bite of the teeth at ${name}`}
          options={BITES}
          valueAt={biteOf}
          short={(relation) => BITE_SHORT[relation]}
          words={(relation) => (relation === "" ? "not stated" : BITE_WORDS[relation])}
          quiet=""
          set={setBite}
        />
      </FoldRow>
    </>
  );
}

/**
 * The teeth side by side, each with its state as a word. A click or up and down step through the states, left and right
 * go from tooth to tooth.
 */
function ToothRow<T extends string>({
  label,
  options,
  valueAt,
  short,
  words,
  quiet,
  set,
}: {
  label: string;
  options: readonly T[];
  valueAt: (tooth: number) => T;
  short: (value: T) => string;
  words: (value: T) => string;
  /** The state that is not dwelt on. */
  quiet: T;
  set: (tooth: number, value: T) => void;
}) {
  const [reached, setReached] = useState<number>(TEETH[0]);
  const step = (tooth: number, by: 1 | -1) => {
    const next = options.indexOf(valueAt(tooth)) + by;
    set(tooth, options.at(next % options.length)!);
  };
  const onKey = (event: KeyboardEvent<HTMLButtonElement>, tooth: number) => {
    if (event.key === "ArrowDown" || event.key === "ArrowUp") step(tooth, event.key === "ArrowDown" ? 1 : -1);
    else if (event.key === "ArrowRight" || event.key === "ArrowLeft") {
      const beside = event.currentTarget[event.key === "ArrowRight" ? "nextElementSibling" : "previousElementSibling"];
      if (beside instanceof HTMLElement) beside.focus();
    } else return;
    event.preventDefault();
    event.stopPropagation();
  };
  return (
    <div className="tooth-row" role="toolbar" aria-label={label}>
      {TEETH.map((tooth) => {
        const value = valueAt(tooth);
        return (
          <button
            key={tooth}
            type="button"
            className="tooth"
            data-quiet={value === quiet}
            tabIndex={tooth === reached ? 0 : -1}
            aria-label={`${tooth}: ${words(value)}`}
            title={`${tooth}: ${words(value)}`}
            onFocus={() => setReached(tooth)}
            onClick={(event) => step(tooth, event.shiftKey ? -1 : 1)}
            onKeyDown={(event) => onKey(event, tooth)}
          >
            <span className="tooth-number">{tooth}</span>
            <span className="tooth-word">{short(value)}</span>
          </button>
        );
      })}
    </div>
  );
}
