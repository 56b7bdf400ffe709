import { resolve } from "node:path";
import { app } from "electron";
import { z } from "zod";

const secondStartSchema = z.strictObject({ files: z.array(z.string()) });

/**
 * The files named on the command line, as full paths. An app that is not packaged has Electron's own arguments and the
 * app's folder before them.
 */
export function filesOfCommandLine(): string[] {
  const given = process.argv.slice(1);
  const start = app.isPackaged ? 0 : given.findIndex((argument) => resolve(argument) === app.getAppPath()) + 1;
  return given
    .slice(start)
    .filter((argument) => !argument.startsWith("-"))
    .map((argument) => resolve(argument));
}

/**
 * Makes this the only running Raphe for this user. False where another one runs already: it has then been told which
 * files to open.
 */
export function becomeOnlyInstance(invite: (paths: readonly string[]) => void): boolean {
  const first = app.requestSingleInstanceLock({ files: filesOfCommandLine() });
  if (!first) return false;
  app.on("second-instance", (_event, _argv, _folder, data) => {
    const second = secondStartSchema.safeParse(data);
    invite(second.success ? second.data.files : []);
  });
  app.on("open-file", (event, path) => {
    event.preventDefault();
    invite([path]);
  });
  return true;
}
