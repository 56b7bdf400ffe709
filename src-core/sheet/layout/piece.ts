import type { FigurePoint, Primitive } from "../figure";
import type { FontRole } from "../style";

/** Tags of the PDF's structure (ISO 32000-1, 14.8.4). */
export type StructTag = "Sect" | "H1" | "H2" | "P" | "L" | "LI" | "LBody" | "Table" | "TR" | "TH" | "TD" | "Figure";

/** One element of the path from the document to what is drawn; the same key is the same element. */
export interface StructStep {
  readonly tag: StructTag;
  readonly key: string;
  /** What a figure shows, in words. */
  readonly alt?: string;
}

/** Something drawn at a place of a page: its primitives' coordinates count from `origin`. */
export interface Placed {
  /** Empty: decoration that is not read aloud. */
  readonly path: readonly StructStep[];
  readonly origin: FigurePoint;
  readonly primitives: readonly Primitive[];
}

/** A strip of the sheet that no page break cuts. */
export interface Piece {
  /** Points. */
  readonly height: number;
  /** Space above it, dropped at the top of a page. */
  readonly gap: number;
  /** True where the next piece must stand on the same page. */
  readonly keepWithNext: boolean;
  /** What is set once more above it where it begins a page: the head of a table that runs on. */
  readonly headOnNewPage?: Piece;
  place(origin: FigurePoint): Placed[];
}

/** Width of a text in points. */
export type Measure = (text: string, font: FontRole, size: number) => number;

/** What laying out needs from outside: the width of text, and names that are used once. */
export interface LayoutContext {
  readonly measure: Measure;
  readonly section: StructStep;
  nextKey(): string;
}
