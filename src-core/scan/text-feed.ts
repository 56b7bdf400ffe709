import { MAX_WORD_BYTES } from "./limits";
import { scanError } from "./scan-errors";
import { isBlank, isLineEnd } from "./text";

const SEGMENT = 65_536;

/** Hands on a text in pieces that never cut a word: each piece ends with a blank. */
export class TextFeed {
  /** Whether the text so far ends with a line end. */
  endsWithLineEnd = true;
  private readonly buffer = new Uint8Array(MAX_WORD_BYTES + SEGMENT);
  private filled = 0;

  /** @param consume takes the bytes [0, end) of a buffer that is used again afterwards */
  constructor(
    private readonly name: string,
    private readonly consume: (bytes: Uint8Array, end: number) => void,
  ) {}

  /** @throws RapheError `malformed` at a word without end */
  push(bytes: Uint8Array): void {
    for (let at = 0; at < bytes.length; at += SEGMENT) this.segment(bytes.subarray(at, at + SEGMENT));
    if (bytes.length > 0) this.endsWithLineEnd = isLineEnd(bytes[bytes.length - 1]!);
  }

  /** Hands on what is left, closed by a line end. */
  finish(): void {
    if (this.filled === 0) return;
    this.buffer[this.filled++] = 10;
    this.consume(this.buffer, this.filled);
    this.filled = 0;
  }

  private segment(bytes: Uint8Array): void {
    this.buffer.set(bytes, this.filled);
    let end = bytes.length;
    // What was there before holds no blank.
    while (end > 0 && !isBlank(bytes[end - 1]!)) end--;
    const total = this.filled + bytes.length;
    if (end > 0) {
      const cut = this.filled + end;
      this.consume(this.buffer, cut);
      this.buffer.copyWithin(0, cut, total);
      this.filled = total - cut;
    } else {
      this.filled = total;
    }
    if (this.filled > MAX_WORD_BYTES) {
      throw scanError("malformed", this.name, "a word of more than 65,536 letters where numbers were expected");
    }
  }
}
