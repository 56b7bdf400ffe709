import type { FigurePoint, Primitive } from "../figure";
import type { Block, FactsBlock, Run, SideBySideBlock, SignatureBlock } from "../sheet";
import { quiet, strong } from "../sheet";
import { breakLines, linePrimitives, lineWidth, STYLES, type TextStyle } from "./lines";
import type { LayoutContext, Piece, Placed, StructStep } from "./piece";
import { tablePieces } from "./table";

const BETWEEN_COLUMNS = 19;

/** A block as strips of the given width (points). */
export function blockPieces(block: Block, width: number, context: LayoutContext): Piece[] {
  switch (block.kind) {
    case "title":
      return [headLine(block.text, block.remark, "H1", STYLES.title, width, context, 0)];
    case "heading":
      return [ruled(headLine(block.text, block.note, "H2", STYLES.heading, width, context, 13), width)];
    case "verdict":
      return [textPiece(block.runs, STYLES.verdict, width, context, 10)];
    case "paragraph":
      return [textPiece(block.runs, STYLES[block.size], width, context, 4)];
    case "facts":
      return [textPiece(factRuns(block), STYLES.normal, width, context, 3)];
    case "list":
      return listPieces(block.items, STYLES[block.size], width, context);
    case "table":
      return tablePieces(block, width, context);
    case "figure": {
      const { figure } = block;
      const path: StructStep[] = [context.section, { tag: "Figure", key: context.nextKey(), alt: figure.description }];
      return [
        {
          height: figure.height,
          gap: 7,
          keepWithNext: false,
          place: (origin) => [{ path, origin, primitives: figure.primitives }],
        },
      ];
    }
    case "side-by-side":
      return [sideBySide(block, width, context)];
    case "signature":
      return [signaturePiece(block, width, context)];
  }
}

function textPiece(runs: readonly Run[], style: TextStyle, width: number, context: LayoutContext, gap: number): Piece {
  const lines = breakLines(runs, style, width, context.measure);
  const path: StructStep[] = [context.section, { tag: "P", key: context.nextKey() }];
  const primitives = linePrimitives(lines, style, width);
  return {
    height: lines.length * style.lineHeight,
    gap,
    keepWithNext: false,
    place: (origin) => [{ path, origin, primitives }],
  };
}

/** A line with words at the left and a quiet note at its right end, or under it where it does not fit. */
function headLine(
  text: string,
  note: string,
  tag: "H1" | "H2",
  style: TextStyle,
  width: number,
  context: LayoutContext,
  gap: number,
): Piece {
  const head = breakLines([{ text }], style, width, context.measure);
  const notes = note === "" ? [] : breakLines([{ text: note }], STYLES.note, width, context.measure);
  const beside =
    head.length === 1 && notes.length <= 1 && lineWidth(head[0]!) + 12 + (notes[0] ? lineWidth(notes[0]) : 0) <= width;
  const headPath: StructStep[] = [context.section, { tag, key: context.nextKey() }];
  const notePath: StructStep[] = [context.section, { tag: "P", key: context.nextKey() }];
  const headHeight = head.length * style.lineHeight;
  const noteHeight = beside || notes.length === 0 ? 0 : notes.length * STYLES.note.lineHeight;
  return {
    height: headHeight + noteHeight,
    gap,
    keepWithNext: true,
    place: ([x, y]) => [
      { path: headPath, origin: [x, y], primitives: linePrimitives(head, style, width) },
      ...(notes.length === 0
        ? []
        : [
            {
              path: notePath,
              origin: [x, beside ? y + (style.lineHeight - STYLES.note.lineHeight) / 2 : y + headHeight] as const,
              primitives: linePrimitives(notes, STYLES.note, width, beside ? "end" : "start"),
            },
          ]),
    ],
  };
}

/** A thin rule above a piece. */
function ruled(piece: Piece, width: number): Piece {
  const space = 6;
  return {
    ...piece,
    height: piece.height + space,
    place: ([x, y]) => [
      {
        path: [],
        origin: [x, y],
        primitives: [{ kind: "line", from: [0, 0], to: [width, 0], stroke: "rule", width: 0.6 }],
      },
      ...piece.place([x, y + space]),
    ],
  };
}

function factRuns(block: FactsBlock): Run[] {
  return block.facts.flatMap((fact, i): Run[] => [
    quiet(`${i === 0 ? "" : "\u2003 "}${held(fact.label)}\u00a0`),
    strong(held(fact.value)),
    ...(fact.remark === undefined ? [] : [quiet(`\u00a0${held(fact.remark)}`)]),
  ]);
}

/** More letters than this may be broken. */
const HELD = 40;

/** Label and value hold together, so that lines break between facts; only long ones break within. */
const held = (text: string): string => (text.length > HELD ? text : text.replaceAll(" ", "\u00a0"));

function listPieces(
  items: readonly (readonly Run[])[],
  style: TextStyle,
  width: number,
  context: LayoutContext,
): Piece[] {
  const list: StructStep = { tag: "L", key: context.nextKey() };
  return items.map((runs) => {
    const lines = breakLines(runs, style, width, context.measure);
    const path: StructStep[] = [
      context.section,
      list,
      { tag: "LI", key: context.nextKey() },
      { tag: "LBody", key: context.nextKey() },
    ];
    const primitives = linePrimitives(lines, style, width);
    return {
      height: lines.length * style.lineHeight,
      gap: 3.5,
      keepWithNext: false,
      place: (origin: FigurePoint): Placed[] => [{ path, origin, primitives }],
    };
  });
}

/** Two stacks of pieces as one strip. */
function sideBySide(block: SideBySideBlock, width: number, context: LayoutContext): Piece {
  const column = (width - BETWEEN_COLUMNS) / 2;
  const stack = (blocks: readonly Block[]) => {
    const pieces = blocks.flatMap((b) => blockPieces(b, column, context));
    const height = pieces.reduce((sum, p, i) => sum + p.height + (i === 0 ? 0 : p.gap), 0);
    return { pieces, height };
  };
  const sides = [stack(block.left), stack(block.right)];
  return {
    height: Math.max(...sides.map((s) => s.height)),
    gap: 13,
    keepWithNext: false,
    place: ([x, y]) =>
      sides.flatMap((side, i) => {
        let top = y;
        return side.pieces.flatMap((piece, k) => {
          if (k > 0) top += piece.gap;
          const placed = piece.place([x + i * (column + BETWEEN_COLUMNS), top]);
          top += piece.height;
          return placed;
        });
      }),
  };
}

function signaturePiece(block: SignatureBlock, width: number, context: LayoutContext): Piece {
  const gap = 18;
  const column = (width - gap * (block.fields.length - 1)) / block.fields.length;
  const lineAt = 34;
  return {
    height: lineAt + 16,
    gap: 10,
    keepWithNext: true,
    place: ([x, y]) =>
      block.fields.flatMap((field, i): Placed[] => {
        const origin: FigurePoint = [x + i * (column + gap), y];
        const text = (content: string, at: number, colour: "ink" | "quiet", size: number): Primitive => ({
          kind: "text",
          at: [0, at],
          anchor: "start",
          text: content,
          font: "sans",
          size,
          colour,
        });
        return [
          {
            path: [],
            origin,
            primitives: [{ kind: "line", from: [0, lineAt], to: [column, lineAt], stroke: "ink", width: 0.6 }],
          },
          {
            path: [context.section, { tag: "P", key: context.nextKey() }],
            origin,
            primitives: [
              ...(field.value === "" ? [] : [text(field.value, lineAt - 4, "ink", 9)]),
              text(field.label, lineAt + 11, "quiet", 8),
            ],
          },
        ];
      }),
  };
}
