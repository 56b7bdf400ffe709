import { grouped } from "../grouped";
import { checkCancelled, type JobControl } from "../job-control";
import type { ByteSource } from "./byte-source";
import { MAX_FILE_BYTES } from "./limits";
import { ObjReader } from "./obj";
import { PlyReader } from "./ply-reader";
import { HEAD_BYTES, recognise } from "./recognise";
import type { ScanContent, ScanReader } from "./scan-content";
import { scanError } from "./scan-errors";
import { StlAsciiReader } from "./stl-ascii";
import { StlBinaryReader } from "./stl-binary";

/** Larger pieces are cut, so that the cancel flag is looked at often. */
const PIECE_BYTES = 262_144;

export interface ReadOptions {
  /** Hears every byte of the file in order, for a checksum. */
  readonly hear?: (bytes: Uint8Array) => void;
}

/**
 * Reads a scan of any known format, streaming it once from beginning to end.
 * @throws RapheError `empty-file`, `too-large`, `unknown-format`, `truncated`, `malformed`, `point-cloud`, `no-triangles`,
 * `not-finite`, `cancelled`
 */
export async function readScan(source: ByteSource, options: ReadOptions, job: JobControl): Promise<ScanContent> {
  const { name, size } = source;
  if (size === 0) throw scanError("empty-file", name, "the file is empty");
  if (size > MAX_FILE_BYTES) {
    throw scanError("too-large", name, `the file has ${grouped(size)} bytes; at most 4 GiB are read`);
  }
  const head = new Uint8Array(Math.min(size, HEAD_BYTES));
  let headFilled = 0;
  let reader: ScanReader | null = null;
  let total = 0;
  for await (const chunk of source.chunks()) {
    for (let at = 0; at < chunk.length; at += PIECE_BYTES) {
      checkCancelled(job);
      let piece = chunk.subarray(at, Math.min(chunk.length, at + PIECE_BYTES));
      total += piece.length;
      if (total > size) throw scanError("malformed", name, "the file grew while it was read");
      options.hear?.(piece);
      if (reader === null) {
        const taken = Math.min(head.length - headFilled, piece.length);
        head.set(piece.subarray(0, taken), headFilled);
        headFilled += taken;
        if (headFilled < head.length) continue;
        reader = readerFor(name, head, size, job);
        reader.push(head);
        piece = piece.subarray(taken);
      }
      reader.push(piece);
      job.progress(total / size, "Reading");
    }
  }
  if (total < size || reader === null) {
    throw scanError("truncated", name, `only ${grouped(total)} of ${grouped(size)} bytes could be read`);
  }
  return reader.finish();
}

function readerFor(name: string, head: Uint8Array, size: number, job: JobControl): ScanReader {
  switch (recognise(name, head, size)) {
    case "stl-binary":
      return new StlBinaryReader(name, size, job);
    case "stl-ascii":
      return new StlAsciiReader(name, size, job);
    case "ply":
      return new PlyReader(name, size, job);
    case "obj":
      return new ObjReader(name, size, job);
  }
}
