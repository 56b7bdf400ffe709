import * as disk from "node:fs/promises";
import type { FileSystem } from "../../../src-main/atomic-write";

/** Stands for a power cut: nothing that is asked of the disk after it happens. */
export class PowerCut extends Error {}

/**
 * The real file system, in which step number `at` fails: as a power cut (then so does every later one; a write comes
 * half), or once with an error code such as ENOSPC. `steps` counts what was asked.
 */
export function failingDisk(at: number, how: "power-cut" | "ENOSPC" | "EIO"): FileSystem & { readonly steps: number } {
  let steps = 0;
  const step = async <T>(work: () => Promise<T>, half?: () => Promise<unknown>): Promise<T> => {
    steps++;
    if (how === "power-cut" ? steps >= at : steps === at) {
      if (steps === at) await half?.();
      throw how === "power-cut" ? new PowerCut() : Object.assign(new Error(how), { code: how });
    }
    return work();
  };
  const open = async (...given: Parameters<FileSystem["open"]>) => {
    const handle = await step(() => disk.open(...given));
    const write = handle.writeFile.bind(handle);
    const sync = handle.sync.bind(handle);
    handle.writeFile = (content) =>
      step(
        () => write(content),
        () => write((content as string | Uint8Array).slice(0, (content as string | Uint8Array).length / 2)),
      );
    handle.sync = () => step(sync);
    return handle;
  };
  return {
    get steps() {
      return steps;
    },
    open,
    mkdir: ((...given: Parameters<typeof disk.mkdir>) => step(() => disk.mkdir(...given))) as FileSystem["mkdir"],
    readdir: ((folder: string) => step(() => disk.readdir(folder))) as FileSystem["readdir"],
    readFile: ((path: string, encoding: "utf8") => step(() => disk.readFile(path, encoding))) as FileSystem["readFile"],
    rename: (from, to) => step(() => disk.rename(from, to)),
    rm: (path, options) => step(() => disk.rm(path, options)),
  };
}
