import { useId } from "react";
import type { Given, Quantity } from "#core/readings/readings-document";
import { fixed, pairWords, plusMinus, signed } from "#core/sheet/format";
import { useCommands, useWorkspace } from "../state/app-context";
import type { SheetRow } from "../state/sheet-rows";
import { kindOf } from "../state/timepoint-kind";
import { ChangeLine, type ChangeScale } from "./change-line";
import { RowDetails } from "./row-details";
import { RowNeeds } from "./row-needs";

/** One width: a line of the document that opens in place; what it lacks, it asks for itself. */
export function WidthRow({
  row,
  open,
  asksNext,
  scale,
}: {
  row: SheetRow;
  open: boolean;
  asksNext: boolean;
  scale: ChangeScale;
}) {
  const commands = useCommands();
  const document = useWorkspace((workspace) => workspace.history.now);
  const id = useId();
  const toggle = () => commands.view.toggleRow(row.key);
  const { from, to } = document.span;
  const change = row.reading?.change;
  const within = row.reading?.withinMeasurementError === true;
  // Where neither width is there, what the row needs takes their place.
  const bare = row.reading?.before.state !== "given" && row.reading?.after.state !== "given";
  return (
    <tbody className="width-row" data-open={open} data-row={row.key}>
      <tr onClick={toggle}>
        <th scope="row">
          <button
            type="button"
            className="row-button"
            aria-expanded={open}
            aria-controls={id}
            onClick={(event) => {
              event.stopPropagation();
              toggle();
            }}
          >
            {pairWords(row.pair)}
          </button>
        </th>
        <td className="row-at">{row.at}</td>
        {!bare && <Value given={row.reading?.before} kind={kindOf(document, from)} />}
        {!bare && <Value given={row.reading?.after} kind={kindOf(document, to)} />}
        {change?.state === "given" ? (
          <>
            <td className="number change" data-within={within}>
              {signed(change.reading.value)}
              {within && <span className="read-aloud"> within measurement error</span>}
            </td>
            <td className="number quiet">{plusMinus(change.reading.expandedUncertainty)}</td>
            <td className="change-cell">
              <ChangeLine change={change.reading} scale={scale} kind={kindOf(document, to)} within={within} />
            </td>
          </>
        ) : (
          <td colSpan={bare ? 5 : 3} className="row-needs">
            <RowNeeds row={row} asksNext={asksNext} />
          </td>
        )}
      </tr>
      <tr className="details" hidden={!open} id={id}>
        <td className="details-cell" colSpan={7}>
          {open && <RowDetails row={row} />}
        </td>
      </tr>
    </tbody>
  );
}

function Value({ given, kind }: { given: Given<Quantity> | undefined; kind: string }) {
  return (
    <td className="number value" data-kind={kind}>
      {given?.state === "given" ? fixed(given.reading.value) : <span className="quiet">–</span>}
    </td>
  );
}
