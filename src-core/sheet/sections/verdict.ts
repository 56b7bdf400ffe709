import { plain, type Section, strong } from "../sheet";
import type { SheetContext } from "./context";

/** The headline sentence and the quiet reason under it. */
export function verdictSection({ readings }: SheetContext): Section {
  return {
    id: "verdict",
    blocks: [
      { kind: "verdict", runs: readings.headline.map((part) => (part.strong ? strong(part.text) : plain(part.text))) },
      { kind: "paragraph", runs: [{ text: readings.because, tone: "quiet" }], size: "normal" },
    ],
  };
}
