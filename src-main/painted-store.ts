import { join } from "node:path";
import { RapheError } from "#core/errors";
import { type PaintedFile, readPainted } from "#core/scan/painted-file";
import { DISK, type FileSystem, syncFolder, writeSynced } from "./atomic-write";
import { readingError, writingError } from "./file-errors";

/** A painted area as the case names it. */
type Area = Pick<PaintedFile, "sha256" | "triangles">;

const SUBJECT = "Painted area";

/**
 * Keeps the bits of painted areas, each in a file named by its hash, written once and never changed: an undone stroke
 * finds its bits again. A file takes its name only when it is whole and on the disk.
 */
export class PaintedStore {
  readonly #folder: string;
  readonly #files: FileSystem;
  /** Those that are surely on the disk. */
  readonly #kept = new Set<string>();
  #queue: Promise<unknown> = Promise.resolve();

  constructor(folder: string, files: FileSystem = DISK) {
    this.#folder = folder;
    this.#files = files;
  }

  /**
   * Keeps bits; once it resolves, they are on the disk.
   * @throws RapheError `malformed`, `too-large` where the bits are not what they are said to be, `not-writable`
   */
  save({ sha256, triangles, bits }: PaintedFile): Promise<void> {
    return this.#inTurn(async () => {
      readPainted(bits, triangles, { sha256 });
      if (this.#kept.has(sha256)) return;
      const unfinished = this.#at(`${sha256}.unfinished`);
      try {
        await this.#files.mkdir(this.#folder, { recursive: true, mode: 0o700 });
        await this.#files.rm(unfinished, { force: true });
        await writeSynced(this.#files, unfinished, bits);
        await this.#files.rename(unfinished, this.#at(`${sha256}.bits`));
        await syncFolder(this.#files, this.#folder);
      } catch (error) {
        throw writingError(error, SUBJECT);
      }
      this.#kept.add(sha256);
    });
  }

  /**
   * The bits of an area.
   * @throws RapheError `file-missing`, `not-readable`, `malformed` where the file is not what was saved
   */
  load({ sha256, triangles }: Area): Promise<Uint8Array> {
    return this.#inTurn(async () => {
      let content: Buffer;
      try {
        content = await this.#files.readFile(this.#at(`${sha256}.bits`));
      } catch (error) {
        throw readingError(error, SUBJECT);
      }
      // A view on memory of its own: a small buffer shares a larger one.
      const { bits } = readPainted(Uint8Array.from(content), triangles, { sha256 });
      this.#kept.add(sha256);
      return bits;
    });
  }

  /**
   * Waits for what is being saved, and makes sure that these areas are there.
   * @throws RapheError `not-writable` where one is not
   */
  require(hashes: readonly string[]): Promise<void> {
    return this.#inTurn(async () => {
      if (hashes.every((sha256) => this.#kept.has(sha256))) return;
      throw new RapheError({
        code: "not-writable",
        subject: SUBJECT,
        problem: "what was painted could not be saved, and a case that names it would be without it",
        remedy: "Free some space on the disk; saving is tried again with the next change",
      });
    });
  }

  #at(name: string): string {
    return join(this.#folder, name);
  }

  /** One after another, whether the ones before went well or not. */
  #inTurn<T>(work: () => Promise<T>): Promise<T> {
    const done = this.#queue.then(work, work);
    this.#queue = done.catch(() => {});
    return done;
  }
}
