// A display for machines that have none.
import { spawn } from "node:child_process";

/** True where a window could not be shown: Linux without X11 and Wayland. */
export function displayMissing() {
  return process.platform === "linux" && !process.env.DISPLAY && !process.env.WAYLAND_DISPLAY;
}

/**
 * Starts a virtual display of its own number.
 * @returns {Promise<{ display: string, stop: () => void }>} the value for DISPLAY; `stop` ends it (so does this
 *   process' own end)
 */
export async function virtualDisplay() {
  // With -displayfd the server takes the first free number and writes it there once it is ready.
  const server = spawn("Xvfb", ["-displayfd", "3", "-screen", "0", "1920x1200x24", "-nolisten", "tcp"], {
    stdio: ["ignore", "ignore", "ignore", "pipe"],
  });
  const stop = () => server.kill();
  process.once("exit", stop);
  const number = await new Promise((resolve, reject) => {
    let text = "";
    server.stdio[3].on("data", (data) => {
      text += data;
      if (text.endsWith("\n")) resolve(text.trim());
    });
    server.once("error", reject);
    server.once("exit", (code) => reject(new Error(`Xvfb ended with ${code} before it was ready`)));
  });
  return { display: `:${number}`, stop };
}
