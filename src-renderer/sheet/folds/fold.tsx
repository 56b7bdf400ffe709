import type { ReactNode } from "react";

/** A part of the sheet that is folded away until it is asked for. */
export function Fold({ title, note, children }: { title: ReactNode; note?: string; children: ReactNode }) {
  return (
    <details className="fold">
      <summary>
        <span className="fold-title">{title}</span>
        {note !== undefined && note !== "" && <span className="quiet fold-note">{note}</span>}
      </summary>
      <div className="fold-rows">{children}</div>
    </details>
  );
}

/** A row of a fold: what it is about, and its fields. */
export function FoldRow({ label, children }: { label: string; children: ReactNode }) {
  return (
    <fieldset className="fold-row">
      <legend>{label}</legend>
      <div className="fold-fields">{children}</div>
    </fieldset>
  );
}

/** A field with the words before it. */
export function Fact({ label, children }: { label: string; children: ReactNode }) {
  return (
    <span className="fact">
      {label}
      {children}
    </span>
  );
}

/** A choice that looks like the words of the page. */
export function QuietChoice<T extends string>({
  label,
  value,
  options,
  choose,
}: {
  label: string;
  value: T;
  options: readonly (readonly [value: T, words: string])[];
  choose: (value: T) => void;
}) {
  return (
    <select
      className="quiet-field"
      aria-label={label}
      value={value}
      onChange={(event) => choose(event.target.value as T)}
    >
      {options.map(([option, words]) => (
        <option key={option} value={option}>
          {words}
        </option>
      ))}
    </select>
  );
}

/** Yes or no, as words with a box before them. */
export function QuietCheck({
  label,
  checked,
  set,
}: {
  label: string;
  checked: boolean;
  set: (checked: boolean) => void;
}) {
  return (
    <label className="quiet-check">
      <input type="checkbox" checked={checked} onChange={(event) => set(event.target.checked)} />
      {label}
    </label>
  );
}
