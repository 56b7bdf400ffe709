import { shortHash } from "./format";
import { archSection } from "./sections/arch";
import type { SheetContext } from "./sections/context";
import { crownsSection } from "./sections/crowns";
import { growthSection } from "./sections/growth";
import { halvesSection } from "./sections/halves";
import { INVENTED, identitySection, SHEET_TITLE } from "./sections/identity";
import { methodSection } from "./sections/method";
import { needSection } from "./sections/need";
import { openingSection } from "./sections/opening";
import { palateSection } from "./sections/palate";
import { patternSection } from "./sections/pattern";
import { recordSection } from "./sections/record";
import { cautionsSection, warningsSection } from "./sections/remarks";
import { repeatsSection } from "./sections/repeats";
import { retentionSection } from "./sections/retention";
import { screwSection } from "./sections/screw";
import { surfacesSection } from "./sections/surfaces";
import { verdictSection } from "./sections/verdict";
import { widthsSection } from "./sections/widths";
import { withheldSection } from "./sections/withheld";
import type { Sheet } from "./sheet";

/** The sections in reading order. */
const SECTIONS = [
  identitySection,
  verdictSection,
  widthsSection,
  openingSection,
  cautionsSection,
  retentionSection,
  growthSection,
  patternSection,
  halvesSection,
  crownsSection,
  archSection,
  palateSection,
  screwSection,
  needSection,
  surfacesSection,
  withheldSection,
  warningsSection,
  repeatsSection,
  methodSection,
  recordSection,
];

/** The measurement sheet of a case's readings. Nothing is computed anew: it prints what the readings hold. */
export function buildSheet(context: SheetContext): Sheet {
  const { readings, document, pictures } = context;
  const { from, to } = readings.span;
  const compared = readings.scans.filter(({ timepoint }) => timepoint === from || timepoint === to);
  const hashes = compared.map((s) => shortHash(s.sha256).replaceAll("\u00a0", "")).join(" · ");
  const drawn = [pictures?.below, pictures?.front, pictures?.distance].filter((p) => p != null);
  return {
    title: SHEET_TITLE,
    language: "en",
    remark: readings.invented ? INVENTED : "",
    foot: {
      left: document.identity.pseudonym === "" ? "case not named" : document.identity.pseudonym,
      middle: `${readings.software.name} ${readings.software.version}`,
      right: hashes === "" ? "" : `scans ${hashes}`,
    },
    // What was not entered has no section.
    sections: SECTIONS.map((section) => section(context)).filter(({ blocks }) => blocks.length > 0),
    pictures: new Map(drawn.map((p) => [p.name, p.png])),
    issuedAt: context.issuedAt,
  };
}
