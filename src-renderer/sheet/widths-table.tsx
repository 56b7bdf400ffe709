import { useMemo } from "react";
import type { WidthReading } from "#core/readings/readings-document";
import { useCommands, useWorkspace } from "../state/app-context";
import { missingLandmarks } from "../state/missing";
import { sheetRows } from "../state/sheet-rows";
import { kindOf } from "../state/timepoint-kind";
import type { ChangeScale } from "./change-line";
import { WidthRow } from "./width-row";

/** All widths, level by level from front to back; each row opens in place and explains itself. */
export function WidthsTable() {
  const commands = useCommands();
  const document = useWorkspace((workspace) => workspace.history.now);
  const readings = useWorkspace((workspace) => workspace.measured?.readings ?? null);
  const passedOver = useWorkspace((workspace) => workspace.view.passedOver);
  const openRow = useWorkspace((workspace) => workspace.view.openRow);
  const rows = useMemo(() => sheetRows(document, readings), [document, readings]);
  const next = useMemo(() => missingLandmarks(document, readings, passedOver)[0], [document, readings, passedOver]);
  const scale = useMemo(() => scaleOf(readings?.widths ?? []), [readings]);
  const { from, to } = document.span;
  return (
    <section className="sheet-section" aria-labelledby="widths-heading">
      <div className="section-head">
        <h2 id="widths-heading">Widths</h2>
        <span className="quiet">mm, straight distance; ± is the 95 % expanded uncertainty</span>
      </div>
      <table
        className="widths"
        onKeyDown={(event) => moveByArrows(event, openRow === null ? null : commands.view.openRow)}
      >
        <thead>
          <tr>
            <th scope="col">pair</th>
            <th scope="col">at</th>
            <th scope="col" className="number" data-kind={kindOf(document, from)}>
              {from}
            </th>
            <th scope="col" className="number" data-kind={kindOf(document, to)}>
              {to}
            </th>
            <th scope="col" className="number" colSpan={2}>
              change
            </th>
            <th scope="col">
              <span className="read-aloud">change on a common scale</span>
            </th>
          </tr>
        </thead>
        {rows.map((row) => (
          <WidthRow
            key={row.key}
            row={row}
            open={row.key === openRow}
            asksNext={row.needs.some((need) => isSame(need, next))}
            scale={scale}
          />
        ))}
      </table>
      {readings?.widths.some((width) => width.withinMeasurementError === true) && (
        <p className="under-table quiet">
          Changes in quiet type, whose error bar reaches zero, are within measurement error.
        </p>
      )}
      <p className="under-table">
        <button type="button" className="word-button" onClick={() => void commands.landmarks.chooseFile()}>
          Landmarks from a file…
        </button>
      </p>
    </section>
  );
}

const isSame = (
  a: { timepoint: string; tooth?: number | undefined; place: string },
  b: typeof a | undefined,
): boolean => a.timepoint === b?.timepoint && a.tooth === b.tooth && a.place === b.place;

/** One scale for all rows: zero, and room for the largest change with its uncertainty. */
function scaleOf(widths: readonly WidthReading[]): ChangeScale {
  const changes = widths.flatMap((width) => (width.change.state === "given" ? [width.change.reading] : []));
  return {
    low: Math.min(0, ...changes.map((change) => change.value - change.expandedUncertainty)),
    high: Math.max(1, ...changes.map((change) => change.value + change.expandedUncertainty)),
  };
}

/** Up and down go from row to row; `open` opens the row that is gone to, where one is open. */
function moveByArrows(event: React.KeyboardEvent<HTMLTableElement>, open: ((row: string) => void) | null): void {
  const step = event.key === "ArrowDown" ? 1 : event.key === "ArrowUp" ? -1 : 0;
  if (step === 0) return;
  const buttons = [...event.currentTarget.querySelectorAll<HTMLButtonElement>("button.row-button")];
  const here = document.activeElement?.closest("tbody")?.querySelector<HTMLButtonElement>("button.row-button");
  const next = buttons[(here ? buttons.indexOf(here) : -1) + step];
  if (next === undefined) return;
  event.preventDefault();
  next.focus();
  const row = next.closest("tbody")?.dataset.row;
  if (row !== undefined) open?.(row);
  next.scrollIntoView({ block: "nearest" });
}
