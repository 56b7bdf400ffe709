import type { Timepoint } from "#core/case/timepoint";
import type { Quantity } from "#core/readings/readings-document";

/** Changes at the left and right end of the scale that all rows share, mm. */
export interface ChangeScale {
  readonly low: number;
  readonly high: number;
}

const WIDTH = 92; // of the drawing; a narrow page draws it smaller
const HEIGHT = 14;

/** A change on the common scale: a tick at zero, dots up to the value, the value with its 95 % error. */
export function ChangeLine({
  change,
  scale,
  kind,
  within,
}: {
  change: Quantity;
  scale: ChangeScale;
  kind: Timepoint["kind"];
  /** Within measurement error: the sign stays hollow. */
  within: boolean;
}) {
  const at = (value: number) => 5 + ((value - scale.low) / (scale.high - scale.low)) * (WIDTH - 10);
  const y = HEIGHT / 2;
  const x = at(change.value);
  return (
    <svg className="change-line" data-kind={kind} viewBox={`0 0 ${WIDTH} ${HEIGHT}`} aria-hidden="true">
      <line className="zero" x1={at(0)} x2={at(0)} y1={1} y2={HEIGHT - 1} />
      <line className="way" x1={at(0)} x2={x} y1={y} y2={y} />
      <line
        className="error"
        x1={at(change.value - change.expandedUncertainty)}
        x2={at(change.value + change.expandedUncertainty)}
        y1={y}
        y2={y}
      />
      {kind === "retention" ? (
        <rect className="mark hollow" x={x - 3} y={y - 3} width={6} height={6} />
      ) : (
        <path className={within ? "mark hollow" : "mark"} d={`M${x} ${y - 4.2}l4.2 4.2-4.2 4.2-4.2-4.2Z`} />
      )}
    </svg>
  );
}
