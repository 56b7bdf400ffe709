import type { Timepoint } from "#core/case/timepoint";

/** The sign of a timepoint: circle before, diamond after, open square in retention. */
export function Sign({ kind, size, hollow = false }: { kind: Timepoint["kind"]; size: number; hollow?: boolean }) {
  const fill = hollow || kind === "retention" ? "sign-hollow" : "sign-full";
  return (
    <svg
      className={`sign ${fill}`}
      data-kind={kind}
      width={size}
      height={size}
      viewBox="-10 -10 20 20"
      aria-hidden="true"
    >
      {kind === "before" && <circle r={8} />}
      {kind === "after" && <path d="M0 -9.6 9.6 0 0 9.6 -9.6 0Z" />}
      {kind === "retention" && <rect x={-7.2} y={-7.2} width={14.4} height={14.4} />}
    </svg>
  );
}
