import { useMemo } from "react";
import { buildSheet } from "#core/sheet/build-sheet";
import type { SectionId } from "#core/sheet/sheet";
import { useWorkspace } from "../state/app-context";
import { BlockView } from "./block-view";

/** What follows the widths; the arch and the profile stand beside the sheet, and withheld readings in their own rows. */
const SHOWN: readonly SectionId[] = [
  "cautions",
  "retention",
  "growth",
  "pattern",
  "halves",
  "crowns",
  "arch",
  "palate",
  "screw",
  "need",
  "surfaces",
  "warnings",
  "repeats",
  "method",
];

/** The rest of the sheet, in the printed order and words. */
export function LaterSections() {
  const document = useWorkspace((workspace) => workspace.history.now);
  const readings = useWorkspace((workspace) => workspace.measured?.readings ?? null);
  const sections = useMemo(() => {
    if (readings === null) return [];
    const sheet = buildSheet({ document, readings, pictures: null, issuedAt: "" });
    return sheet.sections.filter((section) => SHOWN.includes(section.id));
  }, [document, readings]);
  return (
    <>
      {sections.map((section) => (
        <section key={section.id} className="sheet-section" id={`section-${section.id}`}>
          {section.blocks.map((block, i) => {
            const key = `${i} ${block.kind}`;
            return <BlockView key={key} block={block} />;
          })}
        </section>
      ))}
      {readings !== null && (
        <p className="quiet sheet-end">
          Examiner and signature come with the issued sheet: a typed signature, not a qualified electronic signature.
        </p>
      )}
    </>
  );
}
