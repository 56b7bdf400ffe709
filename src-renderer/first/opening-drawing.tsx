import { Fragment } from "react";

/** Half widths of an invented arch from front to back, before and after, and how far behind the front each pair stands. */
const PAIRS = [
  { y: 22, before: 15, after: 25 },
  { y: 46, before: 47, after: 64 },
  { y: 82, before: 62, after: 76 },
  { y: 118, before: 70, after: 81 },
  { y: 158, before: 77, after: 85 },
  { y: 204, before: 84, after: 89 },
] as const;

/** What the app is about, as a drawing: the same pairs of teeth before (circles) and after (diamonds). */
export function OpeningDrawing() {
  return (
    <svg
      className="opening-drawing"
      viewBox="-104 0 208 224"
      role="img"
      aria-label="Drawing: pairs of teeth before, as circles, and after, as diamonds farther apart, most so in front"
    >
      {PAIRS.map(({ y, before, after }) => (
        <Fragment key={y}>
          <line data-kind="after" x1={-after} x2={after} y1={y - 4} y2={y - 4} />
          <line data-kind="before" x1={-before} x2={before} y1={y + 4} y2={y + 4} />
          {[-1, 1].map((side) => (
            <Fragment key={side}>
              <circle data-kind="before" cx={side * before} cy={y + 4} r={3.6} />
              <path data-kind="after" d={`M${side * after} ${y - 9.4}l5.4 5.4-5.4 5.4-5.4-5.4Z`} />
            </Fragment>
          ))}
        </Fragment>
      ))}
    </svg>
  );
}
