#!/usr/bin/env node
// `npm start [-- scan files]`: builds the app where needed, finds an Electron and opens the window.
import { spawn } from "node:child_process";
import { resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { buildApp } from "./build-app.mjs";
import { electronRuntime } from "./electron-runtime.mjs";
import { ensureSystemPackages } from "./system-packages.mjs";
import { displayMissing, virtualDisplay } from "./virtual-display.mjs";

const ROOT = fileURLToPath(new URL("..", import.meta.url));

// npm runs this in the project's folder: paths are meant from where the user typed them.
const typedIn = process.env.INIT_CWD ?? process.cwd();
const asPath = (argument) =>
  argument.startsWith("-") && !existsSync(argument) ? argument : resolve(typedIn, argument);

try {
  const noDisplay = displayMissing();
  ensureSystemPackages({ withDisplay: noDisplay }, console.log);
  buildApp(console.log);
  const runtime = await electronRuntime(console.log);
  const env = { ...process.env };
  const options = [];
  // Chromium's own sandbox cannot run as root.
  if (process.platform === "linux" && process.getuid?.() === 0) options.push("--no-sandbox");
  let stop = () => {};
  if (noDisplay) {
    const virtual = await virtualDisplay();
    env.DISPLAY = virtual.display;
    stop = virtual.stop;
    options.push("--use-gl=angle", "--use-angle=swiftshader");
    console.log(`no display here: the window opens on a virtual one (${virtual.display}), where nobody sees it`);
  }
  const child = spawn(runtime.binary, [...options, ROOT, ...process.argv.slice(2).map(asPath)], {
    env,
    stdio: "inherit",
  });
  for (const signal of ["SIGINT", "SIGTERM", "SIGHUP"]) process.on(signal, () => child.kill(signal));
  child.on("error", (error) => {
    console.error(error.message);
    stop();
    process.exit(1);
  });
  child.on("close", (code) => {
    stop();
    process.exit(code ?? 1);
  });
} catch (error) {
  console.error(error instanceof Error ? error.message : error);
  process.exit(1);
}
