import { randomBytes } from "node:crypto";
import { basename, join } from "node:path";
import type { Exported, ExportRequest } from "#core/bridge/contract";
import { DISK, type FileSystem, syncFolder, writeSynced } from "./atomic-write";
import { writingError } from "./file-errors";

/**
 * Writes a sheet and what goes with it into a new folder inside `parent`. The folder appears complete or not at all;
 * one that is there already is left alone, and the new one gets a number behind its name.
 * @throws RapheError `not-writable`
 */
export async function exportIntoNewFolder(
  parent: string,
  sheet: ExportRequest,
  files: FileSystem = DISK,
): Promise<Exported> {
  const unfinished = join(parent, `.raphe-unfinished-${randomBytes(6).toString("hex")}`);
  try {
    await files.mkdir(unfinished, { mode: 0o700 });
    for (const file of sheet.files) await writeSynced(files, join(unfinished, file.name), file.bytes);
    await syncFolder(files, unfinished);
    const folder = await moveToFreeName(files, parent, unfinished, folderName(sheet));
    await syncFolder(files, parent);
    return { folder, parent: basename(parent) };
  } catch (error) {
    await files.rm(unfinished, { recursive: true, force: true }).catch(() => {});
    throw writingError(error, basename(parent));
  }
}

/** Name of an export's folder: safe letters of the pseudonym and the date. */
function folderName(sheet: ExportRequest): string {
  const safe = sheet.pseudonym.replace(/[^A-Za-z0-9]+/g, "-").replace(/^-+|-+$/g, "");
  return `raphe-${safe.slice(0, 40) || "case"}-${sheet.date}`;
}

async function moveToFreeName(files: FileSystem, parent: string, from: string, wanted: string): Promise<string> {
  for (let number = 1; ; number++) {
    const name = number === 1 ? wanted : `${wanted}-${number}`;
    const taken = new Set((await files.readdir(parent)).map((entry) => entry.toLowerCase()));
    if (taken.has(name.toLowerCase())) continue;
    try {
      await files.rename(from, join(parent, name));
      return name;
    } catch (error) {
      // Another program took the name in between.
      const code = (error as NodeJS.ErrnoException).code ?? "";
      if (!["EEXIST", "ENOTEMPTY", "ENOTDIR"].includes(code)) throw error;
    }
  }
}
