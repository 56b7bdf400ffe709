import { createReadStream } from "node:fs";
import { stat } from "node:fs/promises";
import { basename } from "node:path";
import { RapheError } from "#core/errors";
import type { ByteSource } from "#core/scan/byte-source";

/**
 * A file on this PC as a stream of chunks, never read whole.
 * @throws RapheError `file-missing`, `not-a-file`, `not-readable`
 */
export async function fileSource(path: string): Promise<ByteSource> {
  const name = basename(path);
  let size: number;
  try {
    const status = await stat(path);
    if (!status.isFile()) {
      throw new RapheError({
        code: "not-a-file",
        subject: path,
        problem: status.isDirectory() ? "this is a folder, not a scan" : "this is not a file",
        remedy: "Give the STL or PLY file itself",
      });
    }
    size = status.size;
  } catch (thrown) {
    if (thrown instanceof RapheError) throw thrown;
    const code = (thrown as NodeJS.ErrnoException).code;
    const missing = code === "ENOENT" || code === "ENOTDIR";
    throw new RapheError({
      code: missing ? "file-missing" : "not-readable",
      subject: path,
      problem: missing ? "there is no such file" : `the file cannot be read (${code ?? "unknown reason"})`,
      remedy: missing ? "Check the path" : "Check that this user may read it and that the drive is there",
    });
  }
  return { name, size, chunks: () => createReadStream(path, { highWaterMark: 1 << 20 }) };
}
