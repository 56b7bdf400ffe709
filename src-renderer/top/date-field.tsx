import { useLayoutEffect, useRef, useState } from "react";
import { dateText } from "#core/sheet/format";
import { readDate } from "./read-date";

/** A date: read as the sheet prints it, written as year-month-day or day month year. */
export function DateField({
  label,
  date,
  keep,
  className = "",
}: {
  label: string;
  date: string | null;
  keep: (date: string | null) => void;
  className?: string;
}) {
  const [typed, setTyped] = useState<string | null>(null);
  const input = useRef<HTMLInputElement>(null);
  const entered = typed !== null;
  // The text changes to year-month-day as the field is entered, which would leave the caret behind it.
  useLayoutEffect(() => {
    if (entered) input.current?.select();
  }, [entered]);
  const read = typed === null || typed.trim() === "" ? null : readDate(typed);
  const wrong = typed !== null && typed.trim() !== "" && read === null;
  const leave = () => {
    if (typed !== null && !wrong && read !== date) keep(read);
    setTyped(null);
  };
  return (
    <input
      ref={input}
      className={`quiet-field ${className}`}
      aria-label={label}
      aria-invalid={wrong}
      title="year-month-day, or day month year"
      placeholder="date?"
      size={12}
      value={typed ?? (date === null ? "" : dateText(date))}
      onFocus={() => setTyped(date ?? "")}
      onChange={(event) => setTyped(event.target.value)}
      onBlur={leave}
      onKeyDown={(event) => {
        if (event.key === "Enter") event.currentTarget.blur();
        if (event.key === "Escape") setTyped(date ?? "");
      }}
    />
  );
}
