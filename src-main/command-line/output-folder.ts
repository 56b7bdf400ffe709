import { mkdir, readdir, rename, rm, writeFile } from "node:fs/promises";
import { join, resolve } from "node:path";
import { RapheError } from "#core/errors";

/**
 * The output folder, made if need be. An earlier record is never overwritten.
 * @throws RapheError `not-writable`
 */
export async function emptyFolder(path: string): Promise<string> {
  const folder = resolve(path);
  try {
    await mkdir(folder, { recursive: true });
    if ((await readdir(folder)).length === 0) return folder;
  } catch (thrown) {
    throw new RapheError({
      code: "not-writable",
      subject: path,
      problem: `the folder cannot be made (${(thrown as NodeJS.ErrnoException).code ?? "unknown reason"})`,
      remedy: "Give a folder that this user may write",
    });
  }
  throw new RapheError({
    code: "not-writable",
    subject: path,
    problem: "the folder is not empty, and an earlier record is never overwritten",
    remedy: "Give a new folder to --out",
  });
}

/**
 * Each file complete or not there: written beside its place, then renamed.
 * @throws RapheError `not-writable`
 */
export async function writeAll(folder: string, files: readonly { name: string; bytes: Uint8Array }[]): Promise<void> {
  for (const { name, bytes } of files) {
    const temporary = join(folder, `.${name}.part`);
    try {
      await writeFile(temporary, bytes, { flush: true });
      await rename(temporary, join(folder, name));
    } catch (thrown) {
      await rm(temporary, { force: true });
      throw new RapheError({
        code: "not-writable",
        subject: join(folder, name),
        problem: `the file cannot be written (${(thrown as NodeJS.ErrnoException).code ?? "unknown reason"})`,
        remedy: "Free some space or give another folder to --out",
      });
    }
  }
}
