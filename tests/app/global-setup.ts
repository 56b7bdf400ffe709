import { buildApp } from "../../scripts/build-app.mjs";
import { electronRuntime } from "../../scripts/electron-runtime.mjs";
import { ensureSystemPackages } from "../../scripts/system-packages.mjs";
import { displayMissing, virtualDisplay } from "../../scripts/virtual-display.mjs";

/** Gives the app tests what they run on: system packages, a current build, an Electron, a display. */
export default async function globalSetup(): Promise<() => void> {
  const noDisplay = displayMissing();
  ensureSystemPackages({ withDisplay: noDisplay }, console.log);
  buildApp(console.log);
  const runtime = await electronRuntime(console.log);
  // Playwright asks the electron package for the binary, and that asks this variable.
  process.env.ELECTRON_OVERRIDE_DIST_PATH = runtime.dist;
  if (!noDisplay) return () => {};
  const virtual = await virtualDisplay();
  process.env.DISPLAY = virtual.display;
  return virtual.stop;
}
