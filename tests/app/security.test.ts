import { readFile, rm } from "node:fs/promises";
import { join } from "node:path";
import { fileAddress } from "#core/bridge/address";
import type { Answer } from "#core/bridge/shapes";
import { expect, launchRaphe, ROOT, test } from "./raphe";

const PRELOAD = join(ROOT, "out/preload/index.cjs");

test("the page has no Node, is isolated and sandboxed, and finds the bridge only", async ({ sharedRaphe }) => {
  const { app, page } = sharedRaphe;
  const preferences = await app.evaluate(({ BrowserWindow }) => {
    const contents = BrowserWindow.getAllWindows()[0]!.webContents as unknown as {
      getLastWebPreferences(): Record<string, unknown>;
    };
    const { contextIsolation, sandbox, nodeIntegration, webSecurity, webviewTag } = contents.getLastWebPreferences();
    return { contextIsolation, sandbox, nodeIntegration, webSecurity, webviewTag };
  });
  expect(preferences).toEqual({
    contextIsolation: true,
    sandbox: true,
    nodeIntegration: false,
    webSecurity: true,
    webviewTag: false,
  });
  const seen = await page.evaluate(() => ({
    node: ["require", "process", "Buffer", "module"].filter((name) => name in globalThis),
    calls: Object.keys(window.raphe).sort(),
    frozen: Object.isFrozen(window.raphe),
    sharedMemory: crossOriginIsolated && typeof SharedArrayBuffer === "function",
  }));
  expect(seen).toEqual({
    node: [],
    calls: [
      "chooseMarks",
      "chooseScans",
      "exportSheet",
      "fileDigest",
      "handedOver",
      "loadDraft",
      "loadPainted",
      "onClosing",
      "onCommand",
      "onDropped",
      "onInvited",
      "openSample",
      "saveDraft",
      "savePainted",
      "startInfo",
    ],
    frozen: true,
    sharedMemory: true,
  });
});

test("the content policy stops inline code, eval, inline styles and foreign hosts", async ({ sharedRaphe }) => {
  const { page, problems } = sharedRaphe;
  const policy = await page.evaluate(async () => (await fetch(location.href)).headers.get("content-security-policy"));
  expect(policy).toContain("default-src 'none'");
  expect(policy).not.toContain("unsafe");
  const outcome = await page.evaluate(async () => {
    const violated = new Set<string>();
    document.addEventListener("securitypolicyviolation", (event) => violated.add(event.effectiveDirective));
    const inline = document.createElement("script");
    inline.textContent = "window.inlineRan = true";
    const foreign = document.createElement("script");
    foreign.src = "https://example.org/x.js";
    const style = document.createElement("style");
    style.textContent = "body { color: red }";
    document.head.append(inline, foreign, style);
    await fetch("https://example.org/").catch(() => {});
    // In a timer: what the test runner evaluates directly is let through.
    const evaluated = await new Promise((done) =>
      setTimeout(() => {
        try {
          Reflect.get(globalThis, "eval")("1");
          done("ran");
        } catch (error) {
          done((error as Error).name);
        }
      }, 0),
    );
    await new Promise((done) => setTimeout(done, 200));
    return { inlineRan: "inlineRan" in window, evaluated, violated: [...violated].sort() };
  });
  expect(outcome).toEqual({
    inlineRan: false,
    evaluated: "EvalError",
    violated: ["connect-src", "script-src", "script-src-elem", "style-src-elem"],
  });
  problems.length = 0;
});

test("a request to the network is refused below the page's own policy", async ({ sharedRaphe }) => {
  const outcome = await sharedRaphe.app.evaluate(async ({ BrowserWindow }) => {
    const { createServer } = process.mainModule!.require("node:http") as typeof import("node:http");
    let asked = 0;
    const server = createServer((_request, response) => {
      asked++;
      response.end("reached");
    });
    await new Promise<void>((done) => server.listen(0, "127.0.0.1", done));
    const address = server.address() as import("node:net").AddressInfo;
    const window = new BrowserWindow({ show: false });
    const loaded = await window.loadURL(`http://127.0.0.1:${address.port}/`).then(
      () => "loaded",
      (error: { code: string }) => error.code,
    );
    window.destroy();
    server.close();
    return { asked, loaded };
  });
  expect(outcome).toEqual({ asked: 0, loaded: "ERR_BLOCKED_BY_CLIENT" });
});

test("navigation, new windows and permissions are denied", async ({ sharedRaphe }) => {
  const { app, page, problems } = sharedRaphe;
  const address = page.url();
  for (const target of ["https://example.org/", "file:///etc/passwd", "app://raphe/assets/"]) {
    await page.evaluate((to) => {
      location.href = to;
    }, target);
    await page.waitForTimeout(100);
    expect(page.url()).toBe(address);
  }
  const outcome = await page.evaluate(async () => ({
    opened: window.open("https://example.org/") !== null,
    notifications: await Notification.requestPermission(),
    position: await new Promise<string>((done) =>
      navigator.geolocation.getCurrentPosition(
        () => done("given"),
        (error) => done(error.code === GeolocationPositionError.PERMISSION_DENIED ? "denied" : `code ${error.code}`),
      ),
    ),
    clipboard: (await navigator.permissions.query({ name: "clipboard-read" as PermissionName })).state,
  }));
  expect(outcome).toEqual({ opened: false, notifications: "denied", position: "denied", clipboard: "denied" });
  expect(await app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows().length)).toBe(1);
  problems.length = 0;
});

test("app:// gives nothing outside the page's folder, and no file whose token was not given out", async ({
  sharedRaphe,
}) => {
  const { page, problems } = sharedRaphe;
  const statuses = await page.evaluate(
    async (addresses) =>
      Object.fromEntries(
        await Promise.all(
          addresses.map(async (address) => [
            address,
            await fetch(address).then(
              (response) => response.status,
              () => "refused",
            ),
          ]),
        ),
      ),
    [
      "/index.html",
      "/..%2f..%2fpackage.json",
      "/%2e%2e/%2e%2e/package.json",
      "/..%5c..%5cpackage.json",
      "/%00",
      "/%ff",
      "/file/",
      "/file/..%2f..%2fpackage.json",
      "app://elsewhere/index.html",
      "file:///etc/passwd",
      fileAddress("0".repeat(64)),
    ],
  );
  expect(statuses).toEqual({
    "/index.html": 200,
    "/..%2f..%2fpackage.json": 403,
    "/%2e%2e/%2e%2e/package.json": 404,
    "/..%5c..%5cpackage.json": 404,
    "/%00": "refused",
    "/%ff": 404,
    "/file/": 404,
    "/file/..%2f..%2fpackage.json": 403,
    "app://elsewhere/index.html": "refused",
    "file:///etc/passwd": "refused",
    [fileAddress("0".repeat(64))]: 403,
  });
  problems.length = 0;
});

test("a message from another page is refused, and so is one that is not as agreed", async ({ sharedRaphe }) => {
  const { app, page } = sharedRaphe;
  const foreign = await app.evaluate(async ({ BrowserWindow }, preload) => {
    const window = new BrowserWindow({ show: false, webPreferences: { preload, sandbox: true } });
    await window.loadURL("data:text/html,<p>another page</p>");
    const answers: Answer<unknown>[] = await window.webContents.executeJavaScript(
      "Promise.all([raphe.startInfo(), raphe.chooseScans(), raphe.loadDraft(), raphe.openSample('fan')])",
    );
    window.destroy();
    return answers;
  }, PRELOAD);
  expect(foreign).toHaveLength(4);
  for (const answer of foreign) {
    expect(answer).toMatchObject({
      ok: false,
      error: { code: "bad-request", problem: "the sender is not the app's page" },
    });
  }
  const bad = await page.evaluate(async () => {
    const file = { name: "sheet.pdf", bytes: new Uint8Array(1) };
    const sheet = { pseudonym: "P-1", date: "2024-05-01", files: [file] };
    const draft = { caseId: "c", text: "{}", scans: [], painted: [] };
    const area = { sha256: "0".repeat(64), triangles: 16, bits: new Uint8Array(2) };
    const { raphe } = window;
    return Promise.all([
      raphe.openSample(7 as never),
      raphe.fileDigest("/etc/passwd"),
      raphe.exportSheet({ ...sheet, folder: "/tmp" } as never),
      raphe.exportSheet({ ...sheet, date: "yesterday" }),
      raphe.exportSheet({ ...sheet, files: [] }),
      raphe.exportSheet({ ...sheet, files: [file, { ...file, name: "SHEET.PDF" }] }),
      ...["../sheet.pdf", "a/b.pdf", "a\\b.pdf", ".hidden", "con.txt", "name.", "", "C:x"].map((name) =>
        raphe.exportSheet({ ...sheet, files: [{ ...file, name }] }),
      ),
      raphe.saveDraft({ ...draft, path: "/tmp/x" } as never),
      raphe.saveDraft({ ...draft, scans: [{ key: "before", token: "../x" }] }),
      raphe.savePainted({ ...area, sha256: "../x" }),
      raphe.savePainted({ ...area, triangles: 17 }),
      raphe.savePainted({ ...area, triangles: 20_000_001, bits: new Uint8Array(2_500_001) }),
      raphe.loadPainted({ sha256: "../draft.json", triangles: 16 }),
    ]);
  });
  for (const answer of bad) {
    expect(answer).toMatchObject({
      ok: false,
      error: { code: "bad-request", problem: "the request is not as agreed" },
    });
  }
});

test("a sample case outside those offered cannot be opened", async ({ sharedRaphe }) => {
  const answer = await sharedRaphe.page.evaluate(() => window.raphe.openSample("../src-core"));
  expect(answer).toMatchObject({ ok: false, error: { code: "bad-request", subject: "../src-core" } });
});

test("an error that nothing caught ends the app with code 70 and is written down", async () => {
  const raphe = await launchRaphe();
  await raphe.app.evaluate(() => {
    setTimeout(() => {
      throw new Error("deliberate");
    }, 0);
  });
  expect(await raphe.exitCode).toBe(70);
  expect(await readFile(join(raphe.profile, "crash.log"), "utf8")).toContain("Error: deliberate");
  await rm(raphe.profile, { recursive: true, force: true });
});
