import type { Block, Run, TableBlock } from "#core/sheet/sheet";
import { FigureSvg } from "../figure/figure-svg";

/** A block of the sheet's model on the screen. */
export function BlockView({ block }: { block: Block }) {
  switch (block.kind) {
    case "title":
      return (
        <p className="sheet-title">
          {block.text} <span className="quiet">{block.remark}</span>
        </p>
      );
    case "verdict":
      return (
        <p className="verdict-sentence">
          <Runs runs={block.runs} />
        </p>
      );
    case "heading":
      return (
        <div className="section-head">
          <h2>{block.text}</h2>
          <span className="quiet">{block.note}</span>
        </div>
      );
    case "paragraph":
      return (
        <p className={`block-paragraph ${block.size}`}>
          <Runs runs={block.runs} />
        </p>
      );
    case "facts":
      return (
        <p className="block-facts">
          {block.facts.map((fact) => (
            <span key={fact.label}>
              {fact.label} <strong>{fact.value}</strong> {fact.remark}
            </span>
          ))}
        </p>
      );
    case "list":
      return (
        <ul className={`block-list ${block.size}`}>
          {block.items.map((runs) => (
            <li key={textOf(runs)}>
              <Runs runs={runs} />
            </li>
          ))}
        </ul>
      );
    case "table":
      return <BlockTable table={block} />;
    case "figure":
      return <FigureSvg figure={block.figure} />;
    case "side-by-side":
      return (
        <div className="block-columns">
          <div>{blocks(block.left)}</div>
          <div>{blocks(block.right)}</div>
        </div>
      );
    case "signature":
      return (
        <p className="block-facts">
          {block.fields.map((field) => (
            <span key={field.label}>
              {field.label} {field.value}
            </span>
          ))}
        </p>
      );
  }
}

const blocks = (list: readonly Block[]) =>
  list.map((block, i) => {
    const key = `${i} ${block.kind}`;
    return <BlockView key={key} block={block} />;
  });

const textOf = (runs: readonly Run[]): string => runs.map((run) => run.text).join("");

function Runs({ runs }: { runs: readonly Run[] }) {
  return runs.map((run, i) => {
    const key = `${i} ${run.text}`;
    const tone = run.tone === undefined || run.tone === "ink" ? undefined : `tone-${run.tone}`;
    return run.strong ? (
      <strong key={key} className={tone}>
        {run.text}
      </strong>
    ) : (
      <span key={key} className={tone}>
        {run.text}
      </span>
    );
  });
}

/** A table with more columns than this is set in smaller type, so that each figure keeps its uncertainty beside it. */
const MANY_COLUMNS = 5;

function BlockTable({ table }: { table: TableBlock }) {
  const headed = table.columns.some((column) => column.header !== "");
  return (
    <div className="block-table-room">
      <table className={table.columns.length > MANY_COLUMNS ? "block-table dense" : "block-table"}>
        {headed && (
          <thead>
            <tr>
              {table.columns.map((column, i) => {
                const key = `${i} ${column.header}`;
                return column.header === "" ? (
                  <td key={key} className="block-cell" />
                ) : (
                  <th key={key} scope="col" className={`block-cell block-column ${column.align}`}>
                    {column.header}
                  </th>
                );
              })}
            </tr>
          </thead>
        )}
        <tbody>
          {table.rows.map((row, r) => {
            const rowKey = `row ${r}`;
            return (
              <tr key={rowKey}>
                {row.cells.map((cell, c) => {
                  const key = `cell ${c}`;
                  return (
                    <td key={key} colSpan={cell.columns ?? 1} className={`block-cell ${table.columns[c]?.align ?? ""}`}>
                      {cell.kind === "text" ? <Runs runs={cell.runs} /> : <FigureSvg figure={cell.figure} />}
                    </td>
                  );
                })}
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}
