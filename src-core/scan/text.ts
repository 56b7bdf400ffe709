/** Bytes of a header or comment as readable text: UTF-8, else Latin; control characters become spaces. */
export function printableText(bytes: Uint8Array): string {
  return decoded(bytes)
    .replace(/[\p{Cc}\s]+/gu, " ")
    .trim();
}

const UTF_8 = new TextDecoder("utf-8", { fatal: true });
const LATIN = new TextDecoder("windows-1252");

function decoded(bytes: Uint8Array): string {
  try {
    return UTF_8.decode(bytes);
  } catch {
    return LATIN.decode(bytes);
  }
}

const TAB = 9;
const LF = 10;
const CR = 13;
const SPACE = 32;

/** True for space, tab and the bytes that end a line. */
export const isBlank = (byte: number): boolean => byte === SPACE || (byte >= TAB && byte <= CR);
/** Where the word that begins at `start` ends; a blank must follow it. */
export function wordEnd(bytes: Uint8Array, start: number): number {
  let at = start;
  while (bytes[at]! > SPACE || !isBlank(bytes[at]!)) at++;
  return at;
}

/** True for the bytes that end a line. */
export const isLineEnd = (byte: number): boolean => byte === LF || byte === CR;

/**
 * Counts lines while a text is read piece by piece; LF, CR and CR LF each end one line.
 */
export class LineCounter {
  /** Number of the current line, from 1. */
  line = 1;
  private lastByte = 0;

  /** Counts the byte at `at`, which ends a line; the LF of a CR LF counts with its CR. */
  lineEnd(bytes: Uint8Array, at: number): void {
    const before = at > 0 ? bytes[at - 1] : this.lastByte;
    if (bytes[at] !== LF || before !== CR) this.line++;
  }

  /** Says that the piece [0, end) is done. */
  pieceDone(bytes: Uint8Array, end: number): void {
    this.lastByte = bytes[end - 1]!;
  }
}
