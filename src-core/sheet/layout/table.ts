import type { FigurePoint, Primitive } from "../figure";
import { type Cell, type Column, plain, type TableBlock } from "../sheet";
import { breakLines, linePrimitives, STYLES, type TextStyle } from "./lines";
import type { LayoutContext, Piece, Placed, StructStep } from "./piece";

/** Space above and below a row. */
const PADDING = { normal: 2.1, dense: 0.9 } as const;
/** Space between neighbouring columns. */
const GUTTER = 6;

/** A table as one piece a row; the head stays with the first row. */
export function tablePieces(block: TableBlock, width: number, context: LayoutContext): Piece[] {
  const table: StructStep = { tag: "Table", key: context.nextKey() };
  const widths = columnWidths(block.columns, width);
  const head = headCells(block.columns, widths, context);
  const padding = block.dense === true ? PADDING.dense : PADDING.normal;
  const headed = block.columns.some((c) => c.header !== "");
  const headPiece = rowPiece(head, block.columns, widths, "TH", STYLES.column, table, context, padding);
  // Set again it is decoration: read aloud, the table has one head.
  const again: Piece = {
    ...headPiece,
    place: (origin) => headPiece.place(origin).map((placed) => ({ ...placed, path: [] })),
  };
  const rows = block.rows.map((row) => ({
    ...rowPiece(row.cells, block.columns, widths, "TD", STYLES.normal, table, context, padding),
    ...(headed ? { headOnNewPage: again } : {}),
  }));
  return headed ? [headPiece, ...rows] : rows;
}

/** The heads of the columns; one that is too long for its column runs on over an empty neighbour. */
function headCells(columns: readonly Column[], widths: readonly number[], { measure }: LayoutContext): Cell[] {
  const cells: Cell[] = [];
  for (let i = 0; i < columns.length; i++) {
    const { header, tone } = columns[i]!;
    const wide = measure(header, STYLES.column.regular, STYLES.column.size) > widths[i]!;
    const span = wide && columns[i + 1]?.header === "" ? 2 : 1;
    cells.push({ kind: "text", runs: [{ ...plain(header), ...(tone === undefined ? {} : { tone }) }], columns: span });
    i += span - 1;
  }
  return cells;
}

function columnWidths(columns: readonly Column[], width: number): number[] {
  const fixed = columns.reduce((sum, c) => sum + (c.width === "rest" ? 0 : c.width), 0);
  return columns.map((c) => (c.width === "rest" ? width - fixed : c.width));
}

function rowPiece(
  cells: readonly Cell[],
  columns: readonly Column[],
  widths: readonly number[],
  tag: "TH" | "TD",
  style: TextStyle,
  table: StructStep,
  context: LayoutContext,
  padding: number,
): Piece {
  const row: StructStep = { tag: "TR", key: context.nextKey() };
  const set: { x: number; height: number; path: StructStep[]; primitives: readonly Primitive[] }[] = [];
  let x = 0;
  let column = 0;
  for (const cell of cells) {
    const span = cell.columns ?? 1;
    const room = widths.slice(column, column + span).reduce((sum, w) => sum + w, 0);
    const align = span === 1 || tag === "TH" ? (columns[column]?.align ?? "start") : "start";
    const path: StructStep[] = [context.section, table, row, { tag, key: context.nextKey() }];
    if (cell.kind === "text") {
      // A column that ends in the same place keeps its whole width; the gutter lies before it.
      const inner = align === "end" ? room : room - GUTTER;
      const shift = span > 1 && align === "start" && columns[column]?.align === "end" ? 2 * GUTTER : 0;
      const lines = breakLines(cell.runs, style, inner - shift, context.measure);
      const primitives = linePrimitives(lines, style, inner, align);
      set.push({ x: x + shift, height: Math.max(1, lines.length) * style.lineHeight, path, primitives });
    } else {
      const left = align === "end" ? room - cell.figure.width : 0;
      const figure: StructStep = { tag: "Figure", key: context.nextKey(), alt: cell.figure.description };
      set.push({
        x: x + left,
        height: Math.max(style.lineHeight, cell.figure.height),
        path: [...path, figure],
        primitives: lowered(cell.figure.primitives, (style.lineHeight - cell.figure.height) / 2),
      });
    }
    x += room;
    column += span;
  }
  const height = Math.max(...set.map((s) => s.height)) + 2 * padding;
  return {
    height,
    gap: 0,
    keepWithNext: tag === "TH",
    place: ([left, top]: FigurePoint): Placed[] =>
      set.map((s) => ({ path: s.path, origin: [left + s.x, top + padding], primitives: s.primitives })),
  };
}

/** Primitives moved downwards, points; tables hold figures of lines, markers and texts only. */
function lowered(primitives: readonly Primitive[], by: number): Primitive[] {
  const move = ([x, y]: FigurePoint): FigurePoint => [x, y + by];
  return primitives.map((p): Primitive => {
    if (p.kind === "line") return { ...p, from: move(p.from), to: move(p.to) };
    return p.kind === "path" ? p : { ...p, at: move(p.at) };
  });
}
