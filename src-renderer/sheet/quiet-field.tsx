import { useState } from "react";

/** A field that looks like the words of the page until it is entered. `read` answers null for what it does not take. */
export function QuietField<T>({
  label,
  shown,
  empty,
  read,
  keep,
  width,
}: {
  label: string;
  shown: string;
  /** Said where nothing is entered. */
  empty: string;
  read: (typed: string) => { value: T } | null;
  keep: (value: T) => void;
  /** Least width in characters. */
  width: number;
}) {
  const [typed, setTyped] = useState<string | null>(null);
  const wrong = typed !== null && read(typed) === null;
  const leave = () => {
    const taken = typed === null ? null : read(typed.trim());
    if (taken !== null && typed !== shown) keep(taken.value);
    setTyped(null);
  };
  const text = typed ?? shown;
  return (
    <input
      className="quiet-field"
      aria-label={label}
      aria-invalid={wrong}
      placeholder={empty}
      style={{ width: `calc(${Math.max(width, text.length || empty.length)}ch + 8px)` }}
      value={text}
      onFocus={() => setTyped(shown)}
      onChange={(event) => setTyped(event.target.value)}
      onBlur={leave}
      onKeyDown={(event) => {
        if (event.key === "Enter") event.currentTarget.blur();
        if (event.key === "Escape") setTyped(shown);
      }}
    />
  );
}
