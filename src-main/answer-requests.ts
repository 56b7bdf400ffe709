import { BrowserWindow, ipcMain } from "electron";
import { requestChannels } from "#core/bridge/channels";
import { type RequestName, type RequestOf, requests, type ValueOf } from "#core/bridge/contract";
import type { Answer } from "#core/bridge/shapes";
import { errorParts, RapheError } from "#core/errors";
import { isPageFrame } from "./page-origin";

/** How each request is answered; what is thrown becomes the answer's typed error. */
export type Handlers = {
  readonly [N in RequestName]: (request: RequestOf<N>, window: BrowserWindow) => ValueOf<N> | Promise<ValueOf<N>>;
};

/** Answers the page's requests. A message from anywhere else, or one that is not as agreed, is refused. */
export function answerRequests(handlers: Handlers): void {
  for (const name of Object.keys(requests) as RequestName[]) answer(name, handlers[name]);
}

function answer<N extends RequestName>(name: N, handler: Handlers[N]): void {
  ipcMain.handle(requestChannels[name], async (event, ...given: unknown[]): Promise<Answer<ValueOf<N>>> => {
    try {
      const window = BrowserWindow.fromWebContents(event.sender);
      if (!isPageFrame(event.senderFrame) || window === null) throw refused(name, "the sender is not the app's page");
      const request = requests[name].request.safeParse(given[0]);
      if (!request.success || given.length > 1) throw refused(name, "the request is not as agreed");
      const value = await handler(request.data as RequestOf<N>, window);
      return { ok: true, value: requests[name].value.parse(value) as ValueOf<N> };
    } catch (error) {
      return { ok: false, error: errorParts(error) };
    }
  });
}

function refused(name: RequestName, problem: string): RapheError {
  return new RapheError({
    code: "bad-request",
    subject: name,
    problem,
    remedy: "This is a mistake in the program: please report it",
  });
}
