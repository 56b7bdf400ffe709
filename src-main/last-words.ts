import { appendFileSync } from "node:fs";
import { join } from "node:path";
import { app } from "electron";

/** Exit code after an error that nothing caught. */
const EXIT_CODE = 70;

/**
 * Ends the app on an error that nothing caught, after writing it down in the user's own folder. (Electron would show a
 * box and go on in an unknown state.) The case is safe: every save is complete before it is answered.
 */
export function endOnUncaughtErrors(): void {
  const end = (error: unknown): void => {
    const words = `${new Date().toISOString()} Raphe ${app.getVersion()}\n${error instanceof Error ? error.stack : String(error)}\n`;
    console.error(words);
    try {
      appendFileSync(join(app.getPath("userData"), "crash.log"), words, { mode: 0o600 });
    } catch {
      // The disk may be what failed.
    }
    app.exit(EXIT_CODE);
  };
  process.on("uncaughtException", end);
  process.on("unhandledRejection", end);
}
