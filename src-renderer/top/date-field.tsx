import { useLayoutEffect, useRef, useState } from "react";
import type { Timepoint } from "#core/case/timepoint";
import { dateText } from "#core/sheet/format";
import { useCommands } from "../state/app-context";
import { readDate } from "./read-date";

/** The date of a timepoint: read as the sheet prints it, written as year-month-day or day month year. */
export function DateField({ timepoint }: { timepoint: Timepoint }) {
  const commands = useCommands();
  const [typed, setTyped] = useState<string | null>(null);
  const input = useRef<HTMLInputElement>(null);
  const entered = typed !== null;
  // The text changes to year-month-day as the field is entered, which would leave the caret behind it.
  useLayoutEffect(() => {
    if (entered) input.current?.select();
  }, [entered]);
  const date = typed === null || typed.trim() === "" ? null : readDate(typed);
  const wrong = typed !== null && typed.trim() !== "" && date === null;
  const keep = () => {
    if (typed !== null && !wrong && date !== timepoint.date) {
      commands.case.act({ do: "set-date", timepoint: timepoint.name, date });
    }
    setTyped(null);
  };
  return (
    <input
      ref={input}
      className="quiet-field timepoint-date"
      aria-label={`date of ${timepoint.name}`}
      aria-invalid={wrong}
      title="year-month-day, or day month year"
      placeholder="date?"
      size={12}
      value={typed ?? (timepoint.date === null ? "" : dateText(timepoint.date))}
      onFocus={() => setTyped(timepoint.date ?? "")}
      onChange={(event) => setTyped(event.target.value)}
      onBlur={keep}
      onKeyDown={(event) => {
        if (event.key === "Enter") event.currentTarget.blur();
        if (event.key === "Escape") setTyped(timepoint.date ?? "");
      }}
    />
  );
}
