/** The one origin that the window's page lives on. Node gives custom schemes the origin "null": compare the parts. */
export const PAGE_SCHEME = "app";
export const PAGE_HOST = "raphe";
export const PAGE_ORIGIN = `${PAGE_SCHEME}://${PAGE_HOST}`;

const FILE_PATH = /^\/file\/([0-9a-f]{64})$/;

/**
 * Where the page or its worker streams a chosen file from: `fetch(fileAddress(token))`.
 * Answers 200 with the file's bytes and a `content-length`, or another status with the parts of a typed error as JSON
 * (`errorPartsSchema`), naming the file and what to do.
 */
export function fileAddress(token: string): string {
  return `${PAGE_ORIGIN}/file/${token}`;
}

/** The token in the path of a file address, or null where the path is no file address. */
export function tokenOfPath(pathname: string): string | null {
  return FILE_PATH.exec(pathname)?.[1] ?? null;
}
