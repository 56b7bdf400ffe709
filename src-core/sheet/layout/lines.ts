import type { Primitive } from "../figure";
import type { Run } from "../sheet";
import type { ColourRole, FontRole } from "../style";
import type { Measure } from "./piece";

/** How a text is set. */
export interface TextStyle {
  readonly regular: FontRole;
  readonly strong: FontRole;
  /** Points. */
  readonly size: number;
  readonly lineHeight: number;
  readonly colour: ColourRole;
}

const sans = (size: number, lineHeight: number, colour: ColourRole = "ink"): TextStyle => ({
  regular: "sans",
  strong: "sansStrong",
  size,
  lineHeight,
  colour,
});

export const STYLES = {
  title: { regular: "serifStrong", strong: "serifStrong", size: 12.5, lineHeight: 17, colour: "ink" },
  verdict: { regular: "serif", strong: "serifStrong", size: 18, lineHeight: 24, colour: "ink" },
  heading: { regular: "serifStrong", strong: "serifStrong", size: 11, lineHeight: 15, colour: "ink" },
  note: sans(8, 15, "quiet"),
  normal: sans(9, 13.2),
  small: sans(8, 11.6),
  column: sans(8, 12, "quiet"),
} as const satisfies Record<string, TextStyle>;

interface Word {
  readonly text: string;
  readonly run: Run;
  readonly width: number;
}

/** A set line: words of one run are joined, so that they stay together for search and copying. */
export type Line = readonly { readonly text: string; readonly run: Run; readonly x: number; readonly width: number }[];

const fontOf = (run: Run, style: TextStyle): FontRole => (run.strong === true ? style.strong : style.regular);

/**
 * Breaks runs into lines at spaces (U+0020 only; no-break spaces and dashes hold together, and so do
 * runs without a space between them). A word that is wider than
 * the line stands on a line of its own and is cut where the line ends.
 */
export function breakLines(runs: readonly Run[], style: TextStyle, width: number, measure: Measure): Line[] {
  const lines: Word[][] = [[]];
  let used = 0;
  let glued = false;
  // Where on the line the last stretch begins that holds together over several runs.
  let heldFrom = 0;
  for (const run of runs) {
    const font = fontOf(run, style);
    const space = measure(" ", font, style.size);
    // A number keeps its unit beside it, also in sentences that were written without no-break spaces.
    const bound = run.text.replace(/(\d) (?=(?:mm|%)(?![a-z]))/g, "$1\u00a0");
    bound.split(" ").forEach((text, i) => {
      const parts = text === "" ? [] : cutToFit(text, font, style.size, width, measure);
      const spaced = i > 0;
      parts.forEach((part, k) => {
        const partWidth = measure(part, font, style.size);
        const gap = spaced && k === 0 ? space : 0;
        const line = lines.at(-1)!;
        // Text that follows a run without a space belongs to the word before it.
        const mayBreak = spaced || k > 0 || !glued;
        const overflows = used + gap + partWidth > width + 0.01;
        if (overflows && line.length > 0) {
          // What holds together goes to the next line as one; where that is too narrow too, it breaks here.
          const held = line.slice(heldFrom);
          if (held.length > 0) held[0] = withoutSpace(held[0]!, measure(" ", fontOf(held[0]!.run, style), style.size));
          const heldWidth = held.reduce((sum, word) => sum + word.width, 0);
          const moves = !mayBreak && heldFrom > 0 && heldWidth + partWidth <= width + 0.01;
          if (moves) line.splice(heldFrom);
          lines.push([...(moves ? held : []), { text: part, run, width: partWidth }]);
          used = (moves ? heldWidth : 0) + partWidth;
          heldFrom = 0;
        } else {
          if (mayBreak) heldFrom = line.length;
          const before = gap > 0 && line.length > 0 ? " " : "";
          line.push({ text: before + part, run, width: (before === "" ? 0 : space) + partWidth });
          used += (before === "" ? 0 : space) + partWidth;
        }
      });
      if (spaced && text === "") {
        const line = lines.at(-1)!;
        if (line.length > 0) {
          line.push({ text: " ", run, width: space });
          used += space;
        }
      }
      glued = text !== "";
    });
  }
  return lines.map(joined);
}

const withoutSpace = (word: Word, space: number): Word =>
  word.text.startsWith(" ") ? { ...word, text: word.text.slice(1), width: word.width - space } : word;

function cutToFit(word: string, font: FontRole, size: number, width: number, measure: Measure): string[] {
  if (measure(word, font, size) <= width) return [word];
  const parts: string[] = [];
  let part = "";
  for (const letter of word) {
    if (part !== "" && measure(part + letter, font, size) > width) {
      parts.push(part);
      part = "";
    }
    part += letter;
  }
  return [...parts, part];
}

function joined(words: readonly Word[]): Line {
  const line: { text: string; run: Run; x: number; width: number }[] = [];
  let x = 0;
  for (const word of words) {
    const last = line.at(-1);
    if (last !== undefined && last.run === word.run) {
      last.text += word.text;
      last.width += word.width;
    } else {
      line.push({ text: word.text, run: word.run, x, width: word.width });
    }
    x += word.width;
  }
  return line;
}

/** Width of a line, points. */
export const lineWidth = (line: Line): number => {
  const last = line.at(-1);
  return last === undefined ? 0 : last.x + last.width;
};

/** Lines as text primitives from (0, 0) downwards. */
export function linePrimitives(
  lines: readonly Line[],
  style: TextStyle,
  width: number,
  align: "start" | "end" = "start",
): Primitive[] {
  return lines.flatMap((line, i) => {
    const left = align === "end" ? width - lineWidth(line) : 0;
    // Half of the x-height and cap height above the middle of the line sets text optically level.
    const baseline = i * style.lineHeight + style.lineHeight / 2 + style.size * 0.34;
    return line
      .filter((part) => part.text.trim() !== "")
      .map(
        (part): Primitive => ({
          kind: "text",
          at: [left + part.x, baseline],
          anchor: "start",
          text: part.text,
          font: fontOf(part.run, style),
          size: style.size,
          colour: part.run.tone ?? style.colour,
        }),
      );
  });
}
