import type { Primitive } from "../figure";
import type { Sheet } from "../sheet";
import { blockPieces } from "./blocks";
import type { Measure, Piece, Placed } from "./piece";

/** A4 (ISO 216) in points. */
export const PAGE = { width: 595.28, height: 841.89 } as const;
const MARGIN = { left: 48, right: 48, top: 46, bottom: 54 } as const;
const CONTENT_WIDTH = PAGE.width - MARGIN.left - MARGIN.right;

/** Height of the head line of all pages but the first. */
const HEAD = 26;

/** What stands on one page, in reading order; foot and head line last, as decoration. */
export type Page = readonly Placed[];

/** Sets the sheet on A4 pages. */
export function layOut(sheet: Sheet, measure: Measure): Page[] {
  let keys = 0;
  const pages: Placed[][] = [];
  let y = 0;
  const beginPage = () => {
    // The first page carries the title and its remark; later ones repeat the remark in their head line.
    pages.push([]);
    y = MARGIN.top + (pages.length === 1 ? 0 : HEAD);
  };
  const bottom = PAGE.height - MARGIN.bottom;
  beginPage();
  let fresh = true;
  for (const section of sheet.sections) {
    const context = {
      measure,
      section: { tag: "Sect", key: section.id },
      nextKey: () => `e${keys++}`,
    } as const;
    const pieces = section.blocks.flatMap((b) => blockPieces(b, CONTENT_WIDTH, context));
    const whole = section.keepTogether === true && heightOf(pieces) <= bottom - MARGIN.top - HEAD;
    for (const strip of whole ? [pieces] : together(pieces)) {
      const height = heightOf(strip);
      if (!fresh && y + strip[0]!.gap + height > bottom) {
        beginPage();
        fresh = true;
        const head = strip[0]!.headOnNewPage;
        if (head !== undefined) {
          pages.at(-1)!.push(...head.place([MARGIN.left, y]));
          y += head.height;
        }
      }
      for (const piece of strip) {
        if (!fresh) y += piece.gap;
        pages.at(-1)!.push(...piece.place([MARGIN.left, y]));
        y += piece.height;
        fresh = false;
      }
    }
  }
  return pages.map((page, i) => [...page, ...marginalia(sheet, i + 1, pages.length)]);
}

const heightOf = (pieces: readonly Piece[]): number =>
  pieces.reduce((sum, p, i) => sum + p.height + (i === 0 ? 0 : p.gap), 0);

/** Pieces that must not be parted: each with all that it is to be kept with. */
function together(pieces: readonly Piece[]): Piece[][] {
  const strips: Piece[][] = [];
  let open = false;
  for (const piece of pieces) {
    if (open) strips.at(-1)!.push(piece);
    else strips.push([piece]);
    open = piece.keepWithNext;
  }
  return strips;
}

/** Foot of every page, and from the second on a head line with the sheet's name and remark. */
function marginalia(sheet: Sheet, page: number, pages: number): Placed[] {
  const text = (
    content: string,
    x: number,
    y: number,
    anchor: "start" | "middle" | "end",
    strong = false,
  ): Primitive => ({
    kind: "text",
    at: [x, y],
    anchor,
    text: content,
    font: strong ? "serifStrong" : "sans",
    size: strong ? 9 : 8,
    colour: "quiet",
  });
  const right = PAGE.width - MARGIN.right;
  const foot = PAGE.height - 34;
  // Each page says what it is where there is something to say, the first one in its title.
  const head =
    page === 1
      ? []
      : [
          text(sheet.title, MARGIN.left, MARGIN.top + 6, "start", true),
          text(sheet.remark, right, MARGIN.top + 6, "end"),
        ];
  return [
    {
      path: [],
      origin: [0, 0],
      primitives: [
        ...head,
        text(`${sheet.foot.left} · page ${page} of ${pages}`, MARGIN.left, foot, "start"),
        text(sheet.foot.middle, PAGE.width / 2, foot, "middle"),
        text(sheet.foot.right, right, foot, "end"),
      ].filter((p) => p.kind !== "text" || p.text !== ""),
    },
  ];
}
