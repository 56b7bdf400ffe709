import { plain, type Section } from "../sheet";
import type { SheetContext } from "./context";

/** What growth between the scans means for the widths of a growing patient; otherwise nothing. */
export function growthSection({ readings: { growth } }: SheetContext): Section {
  if (growth === null || growth.caution === null) return { id: "growth", blocks: [] };
  return {
    id: "growth",
    keepTogether: true,
    blocks: [
      { kind: "heading", text: "Growth between the scans", note: "a caution; nothing is subtracted" },
      { kind: "paragraph", size: "small", runs: [plain(growth.caution)] },
    ],
  };
}
