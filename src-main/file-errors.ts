import { RapheError } from "#core/errors";

/** A file system's error on reading a file, as one that names the file and what to do. */
export function readingError(error: unknown, name: string): RapheError {
  if (error instanceof RapheError) return error;
  const code = (error as NodeJS.ErrnoException).code ?? String(error);
  if (code === "ENOENT" || code === "ENOTDIR") {
    return new RapheError({
      code: "file-missing",
      subject: name,
      problem: "there is no such file",
      remedy: "Check whether it was moved or its drive is not connected, then choose it again",
    });
  }
  if (code === "EISDIR") {
    return new RapheError({
      code: "not-a-file",
      subject: name,
      problem: "this is a folder, not a file",
      remedy: "Choose the file inside it",
    });
  }
  const problem = code === "EACCES" || code === "EPERM" ? "reading it is not permitted" : `it cannot be read (${code})`;
  return new RapheError({
    code: "not-readable",
    subject: name,
    problem,
    remedy: "Check the file's permissions, or copy it to this PC and choose the copy",
  });
}

/** A file system's error on writing, as one that names the place and what to do. */
export function writingError(error: unknown, name: string): RapheError {
  if (error instanceof RapheError) return error;
  const code = (error as NodeJS.ErrnoException).code ?? String(error);
  const problems: Record<string, string> = {
    ENOSPC: "the disk is full",
    EROFS: "nothing can be written there: it is read-only",
    EACCES: "writing there is not permitted",
    EPERM: "writing there is not permitted",
    ENOENT: "the folder is no longer there",
  };
  return new RapheError({
    code: "not-writable",
    subject: name,
    problem: problems[code] ?? `writing failed (${code})`,
    remedy: "Nothing was overwritten; free some space or choose another folder, then try again",
  });
}
