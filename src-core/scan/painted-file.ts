import { RapheError } from "../errors";
import { grouped } from "../grouped";
import { bitBytes } from "../mesh/painted-triangles";
import { Sha256 } from "./sha256";

/** Scans with more triangles than this cannot be painted on. */
export const MAX_PAINTED_TRIANGLES = 20_000_000;

/** A painted area as the case names it, with its bits. */
export interface PaintedFile {
  /** SHA-256 of the bits, 64 hex digits. */
  readonly sha256: string;
  readonly triangles: number;
  readonly bits: Uint8Array;
}

const refused = (subject: string, problem: string): RapheError =>
  new RapheError({
    code: "malformed",
    subject,
    problem,
    remedy: "Use the file that belongs to this scan, or paint the area again",
  });

/**
 * Checks the bits of a painted area: one for each triangle of the scan's file, the lowest bit of the first byte first,
 * those behind the last triangle 0.
 * @param bytes the file
 * @param triangles how many triangles the scan's file has
 * @param known its name for errors, and the hash that the case has for it, if it has one
 * @throws RapheError `malformed` where size or hash do not fit, `too-large` above 20 million triangles
 */
export function readPainted(
  bytes: Uint8Array,
  triangles: number,
  { name = "Painted area", sha256 }: { readonly name?: string; readonly sha256?: string } = {},
): PaintedFile {
  if (triangles > MAX_PAINTED_TRIANGLES) {
    throw new RapheError({
      code: "too-large",
      subject: name,
      problem: `the scan has ${grouped(triangles)} triangles, ${grouped(MAX_PAINTED_TRIANGLES)} can be painted on`,
      remedy: "Export the scan with fewer triangles",
    });
  }
  const size = bitBytes(triangles);
  if (bytes.length !== size) {
    throw refused(
      name,
      `it has ${grouped(bytes.length)} bytes, a scan of ${grouped(triangles)} triangles needs ${grouped(size)}`,
    );
  }
  const spare = 8 * size - triangles;
  if (spare > 0 && bytes[size - 1]! >>> (8 - spare) !== 0) throw refused(name, "bits are set behind the last triangle");
  const hash = new Sha256();
  hash.update(bytes);
  const found = hash.hex();
  if (sha256 !== undefined && found !== sha256)
    throw refused(name, "its content is not what was saved: the hash differs");
  return { sha256: found, triangles, bits: bytes };
}
