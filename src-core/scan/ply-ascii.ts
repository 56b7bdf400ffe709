import type { JobControl } from "../job-control";
import { decimal, isNotFiniteWord } from "./decimal";
import { PlyBody } from "./ply-body";
import type { PlyHeader } from "./ply-header";
import { PlySurface } from "./ply-surface";
import type { ScanContent } from "./scan-content";
import { counted, scanError } from "./scan-errors";
import { isBlank, wordEnd } from "./text";
import { TextFeed } from "./text-feed";

/** Reads the body of a text PLY: numbers between blanks, wherever its lines end. */
export class PlyAsciiBody {
  private readonly surface: PlySurface;
  private readonly body: PlyBody;
  private readonly feed: TextFeed;
  private trailing = 0;

  constructor(
    private readonly name: string,
    private readonly header: PlyHeader,
    job: JobControl,
  ) {
    this.surface = new PlySurface(name, header, job);
    this.body = new PlyBody(name, header, this.surface);
    this.feed = new TextFeed(name, (bytes, end) => this.words(bytes, end));
  }

  push(bytes: Uint8Array): void {
    this.feed.push(bytes);
  }

  finish(): ScanContent {
    this.feed.finish();
    this.body.checkDone();
    const { geometry, warnings } = this.surface.finish();
    if (this.trailing > 0) warnings.push(`Not read, behind the last element: ${counted(this.trailing, "word")}.`);
    else if (!this.feed.endsWithLineEnd) {
      warnings.push("The last line has no end: should the file be cut off there, its last number is wrong.");
    }
    return { format: this.header.format, geometry, notes: this.header.notes, warnings };
  }

  private words(bytes: Uint8Array, end: number): void {
    const { body } = this;
    for (let at = 0; at < end; ) {
      while (at < end && isBlank(bytes[at]!)) at++;
      if (at >= end) return;
      const start = at;
      at = wordEnd(bytes, at);
      if (body.part === null) {
        this.trailing++;
        continue;
      }
      const value = decimal(bytes, start, at);
      body.value(Number.isNaN(value) ? this.notDecimal(bytes, start, at) : value);
    }
  }

  /** Not-a-number and infinity are values, which only a vertex in use may not have; anything else is an error. */
  private notDecimal(bytes: Uint8Array, start: number, end: number): number {
    const word = String.fromCharCode(...bytes.subarray(start, Math.min(end, start + 40)));
    if (isNotFiniteWord(word)) return Number.NaN;
    throw scanError("malformed", this.name, `'${word}' where a number was expected`, this.body.where());
  }
}
