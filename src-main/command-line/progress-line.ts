import type { JobControl } from "#core/job-control";

/**
 * Progress on standard error: one line that is rewritten on a terminal, a line per stage elsewhere. Ctrl-C ends the
 * process, so nothing here is ever cancelled.
 */
export function progressLine(stream: NodeJS.WriteStream): JobControl & { done(): void } {
  let share = 0;
  let stage = "";
  const show = (text: string) => {
    if (stream.isTTY) stream.write(`\r\u001b[K${String(Math.round(100 * share)).padStart(3)} %  ${text}`);
    else if (text !== stage) stream.write(`${String(Math.round(100 * share)).padStart(3)} %  ${text}\n`);
    stage = text;
  };
  return {
    progress(now, doing) {
      if (now < share) return;
      share = now;
      show(doing ?? stage);
    },
    cancelled: () => false,
    done() {
      if (stream.isTTY) stream.write("\r\u001b[K");
    },
  };
}
