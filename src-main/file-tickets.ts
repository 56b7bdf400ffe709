import { createHash, randomBytes } from "node:crypto";
import { type FileHandle, open, stat } from "node:fs/promises";
import { basename } from "node:path";
import type { FileOffer, FileTicket } from "#core/bridge/shapes";
import { type ErrorParts, RapheError } from "#core/errors";
import { readingError } from "./file-errors";

interface ChosenFile {
  readonly path: string;
  readonly name: string;
}

/** A chosen file, open for reading; the reader closes it. */
export interface OpenFile {
  readonly handle: FileHandle;
  readonly name: string;
  /** bytes */
  readonly size: number;
}

/**
 * The files that the user chose. The page knows each by a random token only: what it holds no token of, it cannot
 * reach, and no path ever leaves this side.
 */
export class FileTickets {
  readonly #files = new Map<string, ChosenFile>();
  readonly #digests = new Map<string, string>();

  /**
   * A ticket for one file.
   * @throws RapheError `file-missing`, `not-a-file`, `not-readable`
   */
  async issue(path: string): Promise<FileTicket> {
    const name = basename(path);
    const { handle, size } = await openPlainFile(path, name);
    await handle.close();
    const token = randomBytes(32).toString("hex");
    this.#files.set(token, { path, name });
    return { token, name, size };
  }

  /** Tickets for several files; a file that cannot be had is refused alone, with its reason. */
  async offer(paths: readonly string[]): Promise<FileOffer> {
    const tickets: FileTicket[] = [];
    const refused: ErrorParts[] = [];
    for (const path of paths) {
      try {
        tickets.push(await this.issue(path));
      } catch (error) {
        refused.push(readingError(error, basename(path)).parts());
      }
    }
    return { tickets, refused };
  }

  /**
   * Where a file lies, for what this side keeps.
   * @throws RapheError `bad-request` where the token was never given out
   */
  path(token: string): string {
    return this.#chosen(token).path;
  }

  /**
   * Opens a chosen file.
   * @throws RapheError `bad-request`, `file-missing`, `not-a-file`, `not-readable`
   */
  async open(token: string): Promise<OpenFile> {
    const { path, name } = this.#chosen(token);
    return openPlainFile(path, name);
  }

  /**
   * SHA-256 of a chosen file's bytes, 64 hexadecimal digits.
   * @throws RapheError as `open`
   */
  async digest(token: string): Promise<string> {
    const { path } = this.#chosen(token);
    const { handle, name } = await this.open(token);
    try {
      const { size, mtimeMs } = await handle.stat();
      const state = `${path}\n${size}\n${mtimeMs}`;
      const known = this.#digests.get(state);
      if (known !== undefined) return known;
      const hash = createHash("sha256");
      for await (const chunk of handle.createReadStream({ autoClose: false })) hash.update(chunk);
      const digest = hash.digest("hex");
      this.#digests.set(state, digest);
      return digest;
    } catch (error) {
      throw readingError(error, name);
    } finally {
      await handle.close();
    }
  }

  #chosen(token: string): ChosenFile {
    const file = this.#files.get(token);
    if (file === undefined) {
      throw new RapheError({
        code: "bad-request",
        subject: "",
        problem: "this file was not chosen in this session",
        remedy: "Choose it again",
      });
    }
    return file;
  }
}

async function openPlainFile(path: string, name: string): Promise<OpenFile> {
  try {
    // Before opening, since opening a pipe would wait for its other end.
    const status = await stat(path);
    if (status.isDirectory()) throw Object.assign(new Error(), { code: "EISDIR" });
    if (!status.isFile()) {
      throw new RapheError({
        code: "not-a-file",
        subject: name,
        problem: "this is a device or pipe, not a file",
        remedy: "Choose a scan file",
      });
    }
    const handle = await open(path, "r");
    return { handle, name, size: (await handle.stat()).size };
  } catch (error) {
    throw readingError(error, name);
  }
}
