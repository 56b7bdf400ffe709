import type { WebFrameMain } from "electron";
import { PAGE_HOST, PAGE_ORIGIN, PAGE_SCHEME } from "#core/bridge/address";

/** The one page of the window. */
export const PAGE_ADDRESS = `${PAGE_ORIGIN}/index.html`;

/** Whether an address is the app's page, with or without a query or fragment. */
export function isPageAddress(text: string): boolean {
  let url: URL;
  try {
    url = new URL(text);
  } catch {
    return false;
  }
  return url.protocol === `${PAGE_SCHEME}:` && url.host === PAGE_HOST && url.pathname === "/index.html";
}

/** Whether a message comes from the app's own page: its top frame, at its own address. */
export function isPageFrame(frame: WebFrameMain | null): boolean {
  return frame !== null && frame.parent === null && isPageAddress(frame.url);
}
