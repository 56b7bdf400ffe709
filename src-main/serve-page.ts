import { readFile } from "node:fs/promises";
import { extname, join, sep } from "node:path";
import { protocol } from "electron";
import { PAGE_HOST, PAGE_SCHEME, tokenOfPath } from "#core/bridge/address";
import { errorParts } from "#core/errors";
import type { FileTickets, OpenFile } from "./file-tickets";

const CHUNK_BYTES = 1024 * 1024;

const POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self' blob: data:",
  "font-src 'self'",
  "connect-src 'self'",
  "worker-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join("; ");

// The first two give the page and its workers shared memory, which cancels running work.
const EVERY_ANSWER = {
  "cross-origin-opener-policy": "same-origin",
  "cross-origin-embedder-policy": "require-corp",
  "cross-origin-resource-policy": "same-origin",
  "content-security-policy": POLICY,
  "x-content-type-options": "nosniff",
  "referrer-policy": "no-referrer",
  "cache-control": "no-store",
};

const MEDIA_TYPES: Record<string, string> = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".json": "application/json",
  ".svg": "image/svg+xml",
  ".png": "image/png",
  ".ttf": "font/ttf",
};

/** Tells Chromium about the page's scheme; to be called before the app is ready. */
export function registerPageScheme(): void {
  protocol.registerSchemesAsPrivileged([
    { scheme: PAGE_SCHEME, privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true } },
  ]);
}

/** Answers the page's addresses: the built page from `folder`, and the files that the user chose by their tokens. */
export function servePage(folder: string, tickets: FileTickets): void {
  protocol.handle(PAGE_SCHEME, async (request) => {
    const url = new URL(request.url);
    if (url.host !== PAGE_HOST || request.method !== "GET") return refusal(403);
    const token = tokenOfPath(url.pathname);
    return token === null ? pageFile(folder, url.pathname) : chosenFile(tickets, token);
  });
}

function refusal(status: number): Response {
  return new Response(null, { status, headers: EVERY_ANSWER });
}

async function pageFile(folder: string, pathname: string): Promise<Response> {
  try {
    const file = join(folder, decodeURIComponent(pathname));
    if (!file.startsWith(folder + sep)) return refusal(403);
    return new Response(await readFile(file), {
      headers: { ...EVERY_ANSWER, "content-type": MEDIA_TYPES[extname(file)] ?? "application/octet-stream" },
    });
  } catch {
    return refusal(404);
  }
}

async function chosenFile(tickets: FileTickets, token: string): Promise<Response> {
  let file: OpenFile;
  try {
    file = await tickets.open(token);
  } catch (error) {
    const parts = errorParts(error);
    return Response.json(parts, { status: parts.code === "bad-request" ? 403 : 404, headers: EVERY_ANSWER });
  }
  return new Response(fileStream(file), {
    headers: { ...EVERY_ANSWER, "content-type": "application/octet-stream", "content-length": String(file.size) },
  });
}

/** The file in chunks as they are asked for; it fails where the file has become shorter meanwhile. */
function fileStream({ handle, name, size }: OpenFile): ReadableStream<Uint8Array> {
  let sent = 0;
  return new ReadableStream<Uint8Array>(
    {
      async pull(controller) {
        try {
          const chunk = new Uint8Array(Math.min(CHUNK_BYTES, size - sent));
          const { bytesRead } = await handle.read(chunk, 0, chunk.length, sent);
          sent += bytesRead;
          if (bytesRead > 0) controller.enqueue(chunk.subarray(0, bytesRead));
          else if (sent < size) throw new Error(`${name} became shorter while it was read`);
          if (sent === size) {
            controller.close();
            await handle.close();
          }
        } catch (error) {
          controller.error(error);
          await handle.close();
        }
      },
      cancel: () => handle.close(),
    },
    { highWaterMark: 1 },
  );
}
