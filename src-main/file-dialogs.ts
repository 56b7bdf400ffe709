import { readFile } from "node:fs/promises";
import { basename } from "node:path";
import { type BrowserWindow, dialog } from "electron";
import { MAX_TEXT_LENGTH, type MarksFile } from "#core/bridge/contract";
import { RapheError } from "#core/errors";
import { readingError } from "./file-errors";
import type { FileTickets } from "./file-tickets";

const ANY_FILE = { name: "All files", extensions: ["*"] };

/** Asks for scans; empty where none was chosen. */
export async function askForScans(window: BrowserWindow): Promise<string[]> {
  const choice = await dialog.showOpenDialog(window, {
    title: "Open scans",
    properties: ["openFile", "multiSelections"],
    filters: [{ name: "Scans (STL, PLY, OBJ)", extensions: ["stl", "STL", "ply", "PLY", "obj", "OBJ"] }, ANY_FILE],
  });
  return choice.canceled ? [] : choice.filePaths;
}

/** Asks for the folder that an export goes into; null where none was chosen. */
export async function askForFolder(window: BrowserWindow): Promise<string | null> {
  const choice = await dialog.showOpenDialog(window, {
    title: "Issue the sheet into a new folder inside…",
    buttonLabel: "Issue here",
    properties: ["openDirectory", "createDirectory"],
  });
  return choice.canceled ? null : (choice.filePaths[0] ?? null);
}

/**
 * Asks for a landmark file and reads it; null where none was chosen.
 * @throws RapheError `file-missing`, `not-a-file`, `not-readable`, `too-large`
 */
export async function askForMarks(window: BrowserWindow, tickets: FileTickets): Promise<MarksFile | null> {
  const choice = await dialog.showOpenDialog(window, {
    title: "Open landmarks",
    properties: ["openFile"],
    filters: [{ name: "Landmarks (JSON)", extensions: ["json", "JSON"] }, ANY_FILE],
  });
  const path = choice.canceled ? undefined : choice.filePaths[0];
  if (path === undefined) return null;
  const { size } = await tickets.issue(path);
  const name = basename(path);
  if (size > MAX_TEXT_LENGTH) {
    throw new RapheError({
      code: "too-large",
      subject: name,
      problem: `with ${Math.round(size / 1e6)} MB it is far larger than a landmark file`,
      remedy: "Choose a marks.json; scans are opened with 'Open scans'",
    });
  }
  try {
    return { name, text: await readFile(path, "utf8") };
  } catch (error) {
    throw readingError(error, name);
  }
}
