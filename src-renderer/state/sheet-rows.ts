import { type Place, sameSpot } from "#core/arch/landmark";
import type { CaseDocument } from "#core/case/case-document";
import { teethAway } from "#core/case/tooth-standing";
import { FIRST_ASKED, WIDTHS, type WidthDefinition } from "#core/readings/catalogue";
import type { Readings, WidthLevel, WidthReading } from "#core/readings/readings-document";
import { type Target, timepointOf } from "./workspace";

/** A row of the widths: what is asked for, what was read, and which landmarks it still needs. */
export interface SheetRow {
  readonly key: string;
  readonly pair: string;
  readonly teeth: readonly [right: number, left: number];
  readonly level: WidthLevel;
  readonly place: Place;
  /** 'mesiobuccal cusp tips' */
  readonly at: string;
  readonly reading: WidthReading | null;
  readonly needs: readonly Target[];
  /** Why no landmark would help: a tooth of the pair is not there on a scan; else null. */
  readonly away: string | null;
}

export const rowKey = (pair: string, level: WidthLevel): string => `${pair} ${level}`;

/** All rows of the sheet in its order: what was read, and what an empty sheet asks for. */
export function sheetRows(document: CaseDocument, readings: Readings | null): SheetRow[] {
  const read = new Map(readings?.widths.map((width) => [rowKey(width.pair, width.level), width]));
  return WIDTHS.flatMap((definition) => {
    const key = rowKey(definition.pair.name, definition.level);
    const reading = read.get(key) ?? null;
    const wanted = reading !== null || FIRST_ASKED.includes(definition) || hasLandmark(document, definition);
    return wanted ? [rowOf(definition, key, reading, document)] : [];
  });
}

function rowOf(
  definition: WidthDefinition,
  key: string,
  reading: WidthReading | null,
  document: CaseDocument,
): SheetRow {
  const { pair, level, place, at } = definition;
  const away = awayText(document, definition);
  return {
    key,
    pair: pair.name,
    teeth: [pair.right, pair.left],
    level,
    place,
    at,
    reading,
    // A point placed on one scan only is carried to the other: what could be read asks for nothing. Nor does what
    // cannot be read because a tooth is not there.
    needs:
      reading?.change.state === "given" || away !== null
        ? []
        : [document.span.from, document.span.to].flatMap((name) => needsAt(document, name, definition)),
    away,
  };
}

/** That a tooth of the pair is not there on a scan of the span, in words. */
function awayText(document: CaseDocument, { pair }: WidthDefinition): string | null {
  const found = [document.span.from, document.span.to].flatMap((name) => {
    const timepoint = timepointOf(document, name);
    const away = timepoint === undefined ? [] : teethAway(document, timepoint);
    return away.filter(({ tooth }) => tooth === pair.right || tooth === pair.left);
  });
  return found[0]?.text ?? null;
}

function needsAt(document: CaseDocument, name: string, { pair, place }: WidthDefinition): Target[] {
  const timepoint = timepointOf(document, name);
  if (timepoint === undefined || timepoint.scan === null) return [];
  return [pair.right, pair.left]
    .filter((tooth) => !timepoint.landmarks.some((mark) => sameSpot(mark, { tooth, place })))
    .map((tooth) => ({ timepoint: name, tooth, place }));
}

const hasLandmark = (document: CaseDocument, { pair, place }: WidthDefinition): boolean =>
  document.timepoints.some((timepoint) =>
    timepoint.landmarks.some((mark) => mark.place === place && (mark.tooth === pair.right || mark.tooth === pair.left)),
  );
