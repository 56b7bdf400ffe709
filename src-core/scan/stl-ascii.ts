import { grouped } from "../grouped";
import { checkCancelled, type JobControl } from "../job-control";
import { VertexTable } from "../mesh/vertex-table";
import { DecimalScanner, decimal, isNotFiniteWord } from "./decimal";
import { GrowingTriangles } from "./growing-triangles";
import { FIRST_ROOM, MAX_COORDINATE, MAX_NOTES } from "./limits";
import type { ScanContent, ScanReader } from "./scan-content";
import { counted, scanError } from "./scan-errors";
import { isBlank, isLineEnd, LineCounter, printableText, wordEnd } from "./text";
import { TextFeed } from "./text-feed";

/** Bytes of a facet as most programs write it; only a guess of how much to reserve. */
const USUAL_FACET_BYTES = 250;
const SPACE = 32;
/** The first byte that a keyword may begin with, 'A'. */
const FIRST_LETTER = 65;
/** How much of a solid's name is kept. */
const MOST_NAME_BYTES = 200;

/**
 * Where the reader stands. `line-start` and `noise` lie outside the solids, `rest-of-line` throws away what follows on a
 * line, `name` keeps it.
 */
type State = "line-start" | "noise" | "name" | "solid" | "rest-of-line" | "facet" | "vertex";

/**
 * Reads a text STL: any letter case, blanks and line ends. Normals are not read, as they follow from the corners; text
 * between facets and between solids that is no keyword is passed over to the end of its line.
 */
export class StlAsciiReader implements ScanReader {
  private readonly feed: TextFeed;
  private readonly lines = new LineCounter();
  private readonly table: VertexTable;
  private readonly triangles: GrowingTriangles;
  private readonly decimals = new DecimalScanner();
  private readonly single = new Float32Array(3);
  private readonly bits = new Uint32Array(this.single.buffer);
  private state: State = "line-start";
  private inSolid = false;
  private solids = 0;
  private readonly nameBytes: number[] = [];
  private readonly names: string[] = [];
  /** Whether the last word of the name was 'facet', and how long the name was before it. */
  private facetInName = false;
  private nameLength = 0;
  private coordinate = 0;
  private facetCorners = 0;
  private facetLine = 0;
  private first = 0;
  private previous = 0;
  private larger = 0;
  /** The last word between facets that was no keyword, to tell a keyword that was cut off from noise. */
  private lastNoise = "";

  constructor(
    private readonly name: string,
    size: number,
    private readonly job: JobControl,
  ) {
    const expected = Math.min(FIRST_ROOM, Math.ceil(size / USUAL_FACET_BYTES));
    this.triangles = new GrowingTriangles(name, expected, job);
    this.table = new VertexTable("single", Math.ceil(expected * 0.52));
    this.feed = new TextFeed(name, (bytes, end) => this.text(bytes, end));
  }

  push(bytes: Uint8Array): void {
    this.feed.push(bytes);
  }

  finish(): ScanContent {
    this.feed.finish();
    if (this.state === "facet" || this.state === "vertex" || isCutKeyword(this.lastNoise)) {
      throw scanError("truncated", this.name, "the file ends within a facet", `line ${grouped(this.lines.line)}`);
    }
    if (this.triangles.count === 0) throw scanError("no-triangles", this.name, "the file holds no facets");
    const warnings: string[] = [];
    if (this.inSolid)
      warnings.push("The file has no 'endsolid' at its end: it may have been cut off between two triangles.");
    if (this.solids > 1)
      warnings.push(`The file holds ${grouped(this.solids)} solids, which were read as one surface.`);
    if (this.larger > 0)
      warnings.push(`Cut into triangles, with more than three corners: ${counted(this.larger, "facet")}.`);
    return {
      format: "stl-ascii",
      geometry: {
        vertices: this.table.points(),
        triangles: this.triangles.view(),
        colours: null,
        verticesInFile: 3 * this.triangles.count,
        verticesDistinct: true,
      },
      notes: this.names,
      warnings,
    };
  }

  private text(bytes: Uint8Array, end: number): void {
    const { lines } = this;
    for (let at = 0; at < end; ) {
      const byte = bytes[at]!;
      if (byte <= SPACE && isBlank(byte)) {
        if (isLineEnd(byte)) {
          this.lineEnd();
          lines.lineEnd(bytes, at);
        } else if (this.state === "name") this.nameByte(byte);
        at++;
      } else if (this.state === "vertex") {
        at = this.coordinateWord(bytes, at);
      } else {
        const start = at;
        at = wordEnd(bytes, at);
        // Of the words in a facet only keywords count, not the numbers of its normal.
        if (this.state !== "facet" || byte >= FIRST_LETTER) this.word(bytes, start, at);
      }
    }
    lines.pieceDone(bytes, end);
    checkCancelled(this.job);
  }

  private lineEnd(): void {
    switch (this.state) {
      case "noise":
        this.state = "line-start";
        break;
      case "rest-of-line":
        this.state = this.inSolid ? "solid" : "line-start";
        break;
      case "name":
        this.endName();
        break;
      default:
    }
  }

  private word(bytes: Uint8Array, start: number, end: number): void {
    switch (this.state) {
      case "facet":
        this.facetWord(bytes, start, end);
        break;
      case "line-start":
      case "solid":
        this.keyword(bytes, start, end);
        break;
      case "name":
        this.nameWord(bytes, start, end);
        break;
      default:
    }
  }

  /** A word between facets or between solids. */
  private keyword(bytes: Uint8Array, start: number, end: number): void {
    this.lastNoise = "";
    if (isWord(bytes, start, end, "facet") && (this.inSolid || this.solids === 0)) {
      this.inSolid = true;
      this.solids = Math.max(1, this.solids);
      this.beginFacet();
    } else if (isWord(bytes, start, end, "solid")) {
      this.inSolid = true;
      this.solids++;
      this.nameBytes.length = 0;
      this.state = "name";
    } else if (this.inSolid && isWord(bytes, start, end, "endsolid")) {
      this.inSolid = false;
      this.state = "rest-of-line";
    } else {
      if (this.inSolid) this.lastNoise = String.fromCharCode(...bytes.subarray(start, Math.min(end, start + 16)));
      this.state = this.inSolid ? "rest-of-line" : "noise";
    }
  }

  /** A word of a solid's name; a file without line ends goes on with 'facet normal' right behind it. */
  private nameWord(bytes: Uint8Array, start: number, end: number): void {
    if (this.facetInName && isWord(bytes, start, end, "normal")) {
      this.nameBytes.length = this.nameLength;
      this.endName();
      this.beginFacet();
      return;
    }
    this.facetInName = isWord(bytes, start, end, "facet");
    this.nameLength = this.nameBytes.length;
    for (let i = start; i < end; i++) this.nameByte(bytes[i]!);
  }

  private endName(): void {
    const text = printableText(Uint8Array.from(this.nameBytes));
    if (text !== "" && this.names.length < MAX_NOTES) this.names.push(text);
    this.facetInName = false;
    this.state = "solid";
  }

  private beginFacet(): void {
    this.facetCorners = 0;
    this.facetLine = this.lines.line;
    this.state = "facet";
  }

  private facetWord(bytes: Uint8Array, start: number, end: number): void {
    if (isWord(bytes, start, end, "vertex")) {
      this.coordinate = 0;
      this.state = "vertex";
    } else if (isWord(bytes, start, end, "endfacet")) {
      this.endFacet();
      this.state = "solid";
    } else if (isWord(bytes, start, end, "facet")) {
      this.endFacet();
      this.beginFacet();
    } else if (isWord(bytes, start, end, "endsolid")) {
      this.endFacet();
      this.inSolid = false;
      this.state = "rest-of-line";
    }
    // Everything else in a facet (normal and its numbers, outer loop, endloop) says nothing that is needed.
  }

  private endFacet(): void {
    if (this.facetCorners < 3) {
      throw scanError(
        "malformed",
        this.name,
        `a facet with ${this.facetCorners} corners`,
        `line ${grouped(this.facetLine)}`,
      );
    }
    if (this.facetCorners > 3) this.larger++;
  }

  /** Takes the coordinate that begins at `start`; returns where it ends. */
  private coordinateWord(bytes: Uint8Array, start: number): number {
    const value = this.decimals.scan(bytes, start);
    const { end } = this.decimals;
    if (!(isBlank(bytes[end]!) && Math.abs(value) < MAX_COORDINATE)) throw this.notALength(bytes, start);
    this.single[this.coordinate++] = value;
    if (this.coordinate < 3) return end;
    this.state = "facet";
    const vertex = this.table.numberOfSingle(this.bits[0]!, this.bits[1]!, this.bits[2]!);
    if (this.facetCorners === 0) this.first = vertex;
    else if (this.facetCorners > 1) this.triangles.add(this.first, this.previous, vertex);
    this.previous = vertex;
    this.facetCorners++;
    return end;
  }

  private notALength(bytes: Uint8Array, start: number) {
    const end = wordEnd(bytes, start);
    const value = decimal(bytes, start, end);
    const word = String.fromCharCode(...bytes.subarray(start, Math.min(end, start + 40)));
    const where = `line ${grouped(this.lines.line)}`;
    if (isNotFiniteWord(word) || Math.abs(value) === Number.POSITIVE_INFINITY) {
      return scanError("not-finite", this.name, `a coordinate that is not a number ('${word}')`, where);
    }
    return Number.isNaN(value)
      ? scanError("malformed", this.name, `'${word}' where a coordinate was expected`, where)
      : scanError("malformed", this.name, `a coordinate (${word}) that no scan can have`, where);
  }

  private nameByte(byte: number): void {
    if (this.nameBytes.length < MOST_NAME_BYTES) this.nameBytes.push(byte);
  }
}

/** True where the bytes are this word (lower case) in any letter case. */
function isWord(bytes: Uint8Array, start: number, end: number, word: string): boolean {
  if (end - start !== word.length) return false;
  for (let i = 0; i < word.length; i++) if ((bytes[start + i]! | 0x20) !== word.charCodeAt(i)) return false;
  return true;
}

/** True for the beginning of 'facet' or 'endsolid' without its end. */
function isCutKeyword(word: string): boolean {
  const lower = word.toLowerCase();
  return lower !== "" && ["facet", "endsolid"].some((keyword) => keyword.startsWith(lower));
}
