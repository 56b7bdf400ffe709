import type { RawGeometry } from "../mesh/raw-geometry";

/** The file formats that are read. */
export const SCAN_FORMATS = [
  "stl-binary",
  "stl-ascii",
  "ply-ascii",
  "ply-binary-little-endian",
  "ply-binary-big-endian",
  "obj",
] as const;
export type ScanFormat = (typeof SCAN_FORMATS)[number];

/** What a scan file says, before anything is made of it. */
export interface ScanContent {
  readonly format: ScanFormat;
  /** Vertices and triangles in file units, in file order; polygons and strips already cut into triangles. */
  readonly geometry: RawGeometry;
  /** Header and comment texts. They may hold names: shown to the user, never exported. */
  readonly notes: readonly string[];
  /** What was unusual about the file, each one sentence. */
  readonly warnings: readonly string[];
}

/** Reads one format, piece by piece. */
export interface ScanReader {
  /** Takes the next bytes of the file, whatever their number; the reader keeps no reference to them. */
  push(bytes: Uint8Array): void;
  /** Says that all bytes were given. @throws RapheError where the file is not whole or not a surface. */
  finish(): ScanContent;
}
