#!/usr/bin/env node
// Sees to the system libraries that Electron needs on Linux. On Debian as root they are installed; otherwise the exact
// line to type is named.
import { spawnSync } from "node:child_process";
import { accessSync, constants, existsSync } from "node:fs";
import { delimiter, join } from "node:path";
import { fileURLToPath } from "node:url";

// What is looked for, and the Debian 12 package that brings it (everything else comes along as a dependency).
const LIBRARIES = [
  ["libgtk-3.so.0", "libgtk-3-0"],
  ["libnss3.so", "libnss3"],
  ["libasound.so.2", "libasound2"],
  ["libgbm.so.1", "libgbm1"],
];
const DISPLAY_PROGRAMS = [["Xvfb", "xvfb"]];

function onPath(program) {
  return (process.env.PATH ?? "").split(delimiter).some((folder) => {
    try {
      accessSync(join(folder, program), constants.X_OK);
      return true;
    } catch {
      return false;
    }
  });
}

/** Debian packages that are missing. */
function missingPackages(withDisplay) {
  const ldconfig = existsSync("/sbin/ldconfig") ? "/sbin/ldconfig" : "ldconfig";
  const known = spawnSync(ldconfig, ["-p"], { encoding: "utf8" }).stdout ?? "";
  return [
    ...LIBRARIES.filter(([library]) => !known.includes(`\t${library} `)),
    ...DISPLAY_PROGRAMS.filter(([program]) => withDisplay && !onPath(program)),
  ].map(([, name]) => name);
}

/**
 * Installs what is missing, or ends with an error that names the line to type.
 * @param {{ withDisplay: boolean }} needs whether a display has to be made, because the machine has none
 * @param {(line: string) => void} log
 */
export function ensureSystemPackages({ withDisplay }, log) {
  if (process.platform !== "linux") return;
  const missing = missingPackages(withDisplay);
  if (missing.length === 0) return;
  const install = ["install", "-y", "--no-install-recommends", ...missing];
  if (!onPath("apt-get")) {
    throw new Error(`Electron needs what Debian calls ${missing.join(", ")}: install it, then try again`);
  }
  if (process.getuid?.() !== 0) {
    throw new Error(
      `Electron needs system packages. Type this, then try again:\n  sudo apt-get update && sudo apt-get ${install.join(" ")}`,
    );
  }
  log(`installing the system packages that Electron needs: ${missing.join(" ")}`);
  for (const step of [["update"], install]) {
    const done = spawnSync("apt-get", ["-q", ...step], {
      stdio: ["ignore", "pipe", "pipe"],
      encoding: "utf8",
      env: { ...process.env, DEBIAN_FRONTEND: "noninteractive" },
    });
    if (done.status !== 0) throw new Error(`apt-get ${step.join(" ")} failed:\n${done.stdout}\n${done.stderr}`);
  }
  const still = missingPackages(withDisplay);
  if (still.length > 0) throw new Error(`still missing after apt-get: ${still.join(" ")}`);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  try {
    ensureSystemPackages({ withDisplay: true }, console.log);
    console.log("everything that Electron needs is there");
  } catch (error) {
    console.error(error instanceof Error ? error.message : error);
    process.exit(1);
  }
}
