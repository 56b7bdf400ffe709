import type { Figure } from "./figure";

/**
 * The measurement sheet as data: sections of blocks, in reading order. The PDF sets it on A4 pages, the screen shows it
 * as a page of its own; both print the same words. No file name, no header text and no name of a patient is in it.
 */

/** A stretch of text in one weight and tone. */
export interface Run {
  readonly text: string;
  readonly strong?: boolean;
  readonly tone?: "ink" | "quiet" | "before" | "after" | "retention" | "asks";
}

/** The sheet's name, with a quiet remark at the right. */
export interface TitleBlock {
  readonly kind: "title";
  readonly text: string;
  readonly remark: string;
}

/** The headline sentence. */
export interface VerdictBlock {
  readonly kind: "verdict";
  readonly runs: readonly Run[];
}

/** A section's name, with a quiet note at the right. */
export interface HeadingBlock {
  readonly kind: "heading";
  readonly text: string;
  readonly note: string;
}

export interface ParagraphBlock {
  readonly kind: "paragraph";
  readonly runs: readonly Run[];
  /** 'small' for method and cautions. */
  readonly size: "normal" | "small";
}

/** Short facts in one line: 'case K-0412'. */
export interface FactsBlock {
  readonly kind: "facts";
  readonly facts: readonly { readonly label: string; readonly value: string; readonly remark?: string }[];
}

export interface ListBlock {
  readonly kind: "list";
  readonly items: readonly (readonly Run[])[];
  readonly size: "normal" | "small";
}

export interface Column {
  readonly header: string;
  /** Points; 'rest' takes what is left (one column at most). */
  readonly width: number | "rest";
  readonly align: "start" | "end";
  readonly tone?: Run["tone"];
}

/** Text or a small figure in a table; `columns` tells over how many columns it runs. */
export type Cell =
  | { readonly kind: "text"; readonly runs: readonly Run[]; readonly columns?: number }
  | { readonly kind: "figure"; readonly figure: Figure; readonly columns?: number };

export interface TableBlock {
  readonly kind: "table";
  /** True for long tables: less space between the rows. */
  readonly dense?: boolean;
  readonly columns: readonly Column[];
  readonly rows: readonly { readonly cells: readonly Cell[] }[];
}

export interface FigureBlock {
  readonly kind: "figure";
  readonly figure: Figure;
}

/** Two groups of blocks side by side. */
export interface SideBySideBlock {
  readonly kind: "side-by-side";
  readonly left: readonly Block[];
  readonly right: readonly Block[];
}

/** Lines to sign on. */
export interface SignatureBlock {
  readonly kind: "signature";
  readonly fields: readonly { readonly label: string; readonly value: string }[];
}

export type Block =
  | TitleBlock
  | VerdictBlock
  | HeadingBlock
  | ParagraphBlock
  | FactsBlock
  | ListBlock
  | TableBlock
  | FigureBlock
  | SideBySideBlock
  | SignatureBlock;

export type SectionId =
  | "identity"
  | "verdict"
  | "widths"
  | "opening"
  | "cautions"
  | "retention"
  | "growth"
  | "pattern"
  | "halves"
  | "crowns"
  | "screw"
  | "need"
  | "arch"
  | "palate"
  | "surfaces"
  | "withheld"
  | "warnings"
  | "repeats"
  | "method"
  | "record";

export interface Section {
  readonly id: SectionId;
  readonly blocks: readonly Block[];
  /** True where the section should not be cut by a page's end. */
  readonly keepTogether?: boolean;
}

export interface Sheet {
  readonly title: string;
  readonly language: "en";
  /** Printed on top of every page; empty where there is nothing to say. */
  readonly remark: string;
  /** Printed at the foot of every page; the page number follows the first. */
  readonly foot: { readonly left: string; readonly middle: string; readonly right: string };
  readonly sections: readonly Section[];
  /** PNG files by the name that image primitives use. */
  readonly pictures: ReadonlyMap<string, Uint8Array>;
  /** ISO 8601. */
  readonly issuedAt: string;
}

/** Plain text as a run. */
export const plain = (text: string): Run => ({ text });
export const strong = (text: string): Run => ({ text, strong: true });
export const quiet = (text: string): Run => ({ text, tone: "quiet" });
/** A table cell of text. */
export const textCell = (runs: readonly Run[] | string, columns = 1): Cell => ({
  kind: "text",
  runs: typeof runs === "string" ? [plain(runs)] : runs,
  columns,
});

/** All text of a sheet in reading order, one line per block or cell: for search and for checks. */
export function textOf(sheet: Sheet): string {
  const lines: string[] = [];
  const runs = (list: readonly Run[]) => lines.push(list.map((r) => r.text).join(""));
  const figure = (f: Figure) =>
    lines.push(f.description, ...f.primitives.flatMap((p) => (p.kind === "text" ? [p.text] : [])));
  const block = (b: Block): void => {
    switch (b.kind) {
      case "title":
        lines.push(b.text, b.remark);
        break;
      case "heading":
        lines.push(b.text, b.note);
        break;
      case "verdict":
      case "paragraph":
        runs(b.runs);
        break;
      case "facts":
        for (const f of b.facts) lines.push(`${f.label} ${f.value} ${f.remark ?? ""}`);
        break;
      case "list":
        b.items.forEach(runs);
        break;
      case "table":
        lines.push(...b.columns.map((c) => c.header));
        for (const cell of b.rows.flatMap((r) => r.cells)) cell.kind === "text" ? runs(cell.runs) : figure(cell.figure);
        break;
      case "figure":
        figure(b.figure);
        break;
      case "side-by-side":
        b.left.forEach(block);
        b.right.forEach(block);
        break;
      case "signature":
        for (const f of b.fields) lines.push(f.label, f.value);
        break;
    }
  };
  lines.push(sheet.title, sheet.remark, sheet.foot.left, sheet.foot.middle, sheet.foot.right);
  for (const section of sheet.sections) section.blocks.forEach(block);
  return lines.filter((line) => line !== "").join("\n");
}
