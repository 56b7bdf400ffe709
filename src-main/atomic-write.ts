import * as nodeFiles from "node:fs/promises";

/** What of the file system a store needs; a test hands in one that fails where it wants. */
export type FileSystem = Pick<typeof nodeFiles, "mkdir" | "open" | "readdir" | "readFile" | "rename" | "rm">;

/** The real file system. */
export const DISK: FileSystem = nodeFiles;

/** Writes a new file and waits until it is on the disk; one that is there already is an error (EEXIST). */
export async function writeSynced(files: FileSystem, path: string, content: string | Uint8Array): Promise<void> {
  // Only for the user's own eyes: it is about patients.
  const handle = await files.open(path, "wx", 0o600);
  try {
    await handle.writeFile(content);
    await handle.sync();
  } finally {
    await handle.close();
  }
}

/** Waits until a folder's entries are on the disk. Windows has no such thing and needs none. */
export async function syncFolder(files: FileSystem, folder: string): Promise<void> {
  if (process.platform === "win32") return;
  const handle = await files.open(folder, "r");
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}
