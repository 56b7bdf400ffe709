import { grouped } from "../grouped";
import { checkCancelled, type JobControl } from "../job-control";
import { DistinctVertices } from "../mesh/distinct-vertices";
import { decimal, isNotFiniteWord } from "./decimal";
import { GrowingColours } from "./growing-colours";
import { GrowingNumbers } from "./growing-numbers";
import { GrowingTriangles } from "./growing-triangles";
import { FIRST_ROOM, MAX_NOTES, MAX_VERTICES } from "./limits";
import type { ScanContent, ScanReader } from "./scan-content";
import { counted, scanError } from "./scan-errors";
import { surfaceGeometry } from "./surface-geometry";
import { isBlank, isLineEnd, LineCounter, printableText, wordEnd } from "./text";
import { TextFeed } from "./text-feed";

/** Bytes of a vertex and two faces as most programs write them; only a guess of how much to reserve. */
const USUAL_FACE_BYTES = 40;

const BACKSLASH = 92;
const SLASH = 47;
const HASH = 35;
const LETTER_V = 118;
const LETTER_F = 102;

/**
 * Reads the surface of an OBJ: lines `v` (with x, y, z and perhaps red, green, blue) and `f` (numbers from 1, or backwards
 * from the last vertex; with or without texture and normal numbers). A backslash joins lines; all other lines are passed
 * over.
 */
export class ObjReader implements ScanReader {
  private readonly feed: TextFeed;
  private readonly lines = new LineCounter();
  private readonly vertices: DistinctVertices;
  private readonly colours = new GrowingColours();
  private readonly triangles: GrowingTriangles;
  private readonly polygons = new GrowingNumbers();
  private readonly notes: string[] = [];
  private statement: "none" | "vertex" | "face" | "comment" | "other" = "none";
  private joined = false;
  private readonly numbers = new Float64Array(7);
  private words = 0;
  private first = 0;
  private previous = 0;
  private highest = 0;
  private comment: number[] = [];
  private small = 0;

  constructor(
    private readonly name: string,
    size: number,
    private readonly job: JobControl,
  ) {
    const expected = Math.min(FIRST_ROOM, Math.ceil(size / USUAL_FACE_BYTES));
    this.vertices = new DistinctVertices("double", Math.ceil(expected / 2), Math.ceil(expected / 2), job);
    this.triangles = new GrowingTriangles(name, expected, job);
    this.feed = new TextFeed(name, (bytes, end) => this.text(bytes, end));
  }

  push(bytes: Uint8Array): void {
    this.feed.push(bytes);
  }

  finish(): ScanContent {
    this.feed.finish();
    this.endStatement();
    const { name } = this;
    const count = this.vertices.count;
    if (count === 0) throw scanError("no-triangles", name, "the file holds no vertices");
    if (this.triangles.count === 0) {
      throw scanError("point-cloud", name, `the file holds ${grouped(count)} points and no faces`);
    }
    if (this.highest >= count) {
      throw scanError(
        "malformed",
        name,
        `a face has the vertex number ${grouped(this.highest + 1)}, but the file has ${grouped(count)} vertices`,
      );
    }
    const { vertices, job } = this;
    const colours = this.colours.of(count);
    const geometry = surfaceGeometry(name, vertices, this.triangles.view(), this.polygons.view(), colours, job);
    const warnings: string[] = [];
    if (this.small > 0) warnings.push(`Left out, with fewer than three corners: ${counted(this.small, "face")}.`);
    if (!this.feed.endsWithLineEnd) {
      warnings.push("The last line has no end: should the file be cut off there, its last number is wrong.");
    }
    return {
      format: "obj",
      geometry,
      notes: this.notes,
      warnings,
    };
  }

  private text(bytes: Uint8Array, end: number): void {
    for (let at = 0; at < end; ) {
      const byte = bytes[at]!;
      if (isBlank(byte)) {
        if (isLineEnd(byte) && !this.joined) this.endStatement();
        // CR LF ends one line: the LF must not end the line that a backslash joined on.
        if (byte !== 13) this.joined = false;
        if (this.statement === "comment") this.comment.push(byte);
        if (isLineEnd(byte)) this.lines.lineEnd(bytes, at);
        at++;
        continue;
      }
      this.joined = false;
      const start = at;
      at = wordEnd(bytes, at);
      if (at - start === 1 && byte === BACKSLASH && isLineEnd(bytes[at]!)) this.joined = true;
      else this.word(bytes, start, at);
    }
    this.lines.pieceDone(bytes, end);
    checkCancelled(this.job);
  }

  private word(bytes: Uint8Array, start: number, end: number): void {
    switch (this.statement) {
      case "none":
        this.begin(bytes, start, end);
        break;
      case "vertex":
        if (this.words < 7) this.numbers[this.words++] = this.number(bytes, start, end);
        break;
      case "face":
        this.corner(bytes, start, end);
        break;
      case "comment":
        for (let i = start; i < end && this.comment.length < 200; i++) this.comment.push(bytes[i]!);
        break;
      default:
    }
  }

  private begin(bytes: Uint8Array, start: number, end: number): void {
    this.words = 0;
    const isLetter = end - start === 1;
    if (isLetter && bytes[start] === LETTER_V) this.statement = "vertex";
    else if (isLetter && bytes[start] === LETTER_F) this.statement = "face";
    else if (bytes[start] === HASH) {
      this.statement = "comment";
      this.comment = Array.from(bytes.subarray(start + 1, Math.min(end, start + 200)));
    } else this.statement = "other";
  }

  private vertex(): void {
    const { numbers } = this;
    const vertex = this.vertices.count;
    if (vertex >= MAX_VERTICES) {
      throw scanError("too-large", this.name, `more than ${grouped(MAX_VERTICES)} vertices`);
    }
    this.vertices.add(numbers[0]!, numbers[1]!, numbers[2]!);
    if (this.words >= 6) this.colours.set(vertex, numbers[3]!, numbers[4]!, numbers[5]!);
  }

  private endStatement(): void {
    switch (this.statement) {
      case "vertex":
        if (this.words < 3) throw this.malformed(`a vertex with ${this.words} coordinates`);
        this.vertex();
        break;
      case "face":
        if (this.words < 3) this.small++;
        if (this.words > 3) {
          this.polygons.add(this.triangles.count - (this.words - 2));
          this.polygons.add(this.words);
        }
        break;
      case "comment": {
        const text = printableText(Uint8Array.from(this.comment));
        if (text !== "" && this.notes.length < MAX_NOTES) this.notes.push(text);
        break;
      }
      default:
    }
    this.statement = "none";
  }

  /** Takes one corner of a face: `7`, `7/1`, `7/1/3`, `7//3`, or with negative numbers. */
  private corner(bytes: Uint8Array, start: number, end: number): void {
    let cut = start;
    while (cut < end && bytes[cut] !== SLASH) cut++;
    const written = decimal(bytes, start, cut);
    const vertex = written < 0 ? this.vertices.count + written : written - 1;
    if (!(vertex >= 0 && vertex < 0xffff_ffff && Math.floor(vertex) === vertex)) {
      throw this.malformed(`'${letters(bytes, start, end)}' where a vertex number was expected`);
    }
    if (vertex > this.highest) this.highest = vertex;
    if (this.words === 0) this.first = vertex;
    else if (this.words > 1) this.triangles.add(this.first, this.previous, vertex);
    this.previous = vertex;
    this.words++;
  }

  private number(bytes: Uint8Array, start: number, end: number): number {
    const value = decimal(bytes, start, end);
    if (Number.isNaN(value) && !isNotFiniteWord(letters(bytes, start, end))) {
      throw this.malformed(`'${letters(bytes, start, end)}' where a number was expected`);
    }
    return value;
  }

  private malformed(problem: string) {
    return scanError("malformed", this.name, problem, `line ${grouped(this.lines.line)}`);
  }
}

const letters = (bytes: Uint8Array, start: number, end: number): string =>
  String.fromCharCode(...bytes.subarray(start, Math.min(end, start + 40)));
