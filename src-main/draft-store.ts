import { join } from "node:path";
import { z } from "zod";
import { DISK, type FileSystem, syncFolder, writeSynced } from "./atomic-write";
import { readingError, writingError } from "./file-errors";

const storedDraftSchema = z.strictObject({
  format: z.literal(1),
  caseId: z.string(),
  text: z.string(),
  scans: z.array(z.strictObject({ key: z.string(), path: z.string() })),
});

/** The case as it stands and where its scans lie, each by the name that the case has for it. */
export type Draft = Omit<z.infer<typeof storedDraftSchema>, "format">;

interface FoundDraft {
  readonly draft: Draft;
  /** Its file's name in the folder. */
  readonly file: string;
  /** True where a newer draft was there but unreadable. */
  readonly olderState: boolean;
}

const NEWEST = "draft.json";
const PREVIOUS = "draft.previous.json";
const UNFINISHED = "draft.unfinished.json";
const SUBJECT = "Draft";

/**
 * Keeps the case that is being worked on, so that a crash or restart loses nothing. A save takes effect as a whole or
 * not at all; the state before it is kept; what cannot be read, and the last draft of another case, is kept under a
 * name of its own and never overwritten.
 */
export class DraftStore {
  readonly #folder: string;
  readonly #files: FileSystem;
  #found: FoundDraft | null | undefined;
  #queue: Promise<unknown> = Promise.resolve();

  constructor(folder: string, files: FileSystem = DISK) {
    this.#folder = folder;
    this.#files = files;
  }

  /**
   * The last good draft, or null where there is none.
   * @throws RapheError `not-readable`, `not-writable` (an unreadable draft could not be set aside)
   */
  load(): Promise<FoundDraft | null> {
    return this.#inTurn(() => this.#find());
  }

  /**
   * Saves a draft; once it resolves, the draft is on the disk. Scans that an earlier draft of the same case had and
   * this one does not name are remembered on, since their drive may only be away.
   * @param ready what has to be on the disk before, else the draft is not saved
   * @throws RapheError `not-writable`, or what `ready` throws; the last good draft is then still there
   */
  save(draft: Draft, ready: () => Promise<void> = async () => {}): Promise<void> {
    return this.#inTurn(async () => {
      await ready();
      const found = await this.#find();
      const keys = new Set(draft.scans.map((scan) => scan.key));
      const earlier = found?.draft.caseId === draft.caseId ? found.draft.scans : [];
      const whole = { ...draft, scans: [...draft.scans, ...earlier.filter((scan) => !keys.has(scan.key))] };
      try {
        await this.#write(whole, found);
        this.#found = { draft: whole, file: NEWEST, olderState: false };
      } catch (error) {
        this.#found = undefined; // look again at what is there
        throw writingError(error, SUBJECT);
      }
    });
  }

  /** Resolves once nothing is being read or written any more. */
  async settled(): Promise<void> {
    await this.#queue;
  }

  async #write(draft: Draft, found: FoundDraft | null): Promise<void> {
    await this.#files.mkdir(this.#folder, { recursive: true, mode: 0o700 });
    if (found !== null && found.draft.caseId !== draft.caseId) {
      await writeSynced(this.#files, this.#at(await this.#freeName("earlier-case")), serialized(found.draft));
    }
    await this.#files.rm(this.#at(UNFINISHED), { force: true });
    await writeSynced(this.#files, this.#at(UNFINISHED), serialized(draft));
    // Cut off between these two, the state before is found under its second name.
    if (found?.file === NEWEST) await this.#files.rename(this.#at(NEWEST), this.#at(PREVIOUS));
    await this.#files.rename(this.#at(UNFINISHED), this.#at(NEWEST));
    await syncFolder(this.#files, this.#folder);
  }

  async #find(): Promise<FoundDraft | null> {
    if (this.#found !== undefined) return this.#found;
    let olderState = false;
    for (const file of [NEWEST, PREVIOUS]) {
      let text: string;
      try {
        text = await this.#files.readFile(this.#at(file), "utf8");
      } catch (error) {
        if ((error as NodeJS.ErrnoException).code === "ENOENT") continue;
        throw readingError(error, SUBJECT);
      }
      const draft = parseDraft(text);
      if (draft !== null) {
        this.#found = { draft, file, olderState };
        return this.#found;
      }
      try {
        await this.#files.rename(this.#at(file), this.#at(await this.#freeName("unreadable")));
      } catch (error) {
        throw writingError(error, SUBJECT);
      }
      olderState = true;
    }
    this.#found = null;
    return null;
  }

  /** The first name of its kind that is not taken. */
  async #freeName(kind: string): Promise<string> {
    const names = new Set(await this.#files.readdir(this.#folder));
    let number = 1;
    while (names.has(`${kind}-${number}.json`)) number++;
    return `${kind}-${number}.json`;
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

function serialized(draft: Draft): string {
  return JSON.stringify({ format: 1, ...draft });
}

function parseDraft(text: string): Draft | null {
  try {
    const { format: _format, ...draft } = storedDraftSchema.parse(JSON.parse(text));
    return draft;
  } catch {
    return null;
  }
}
