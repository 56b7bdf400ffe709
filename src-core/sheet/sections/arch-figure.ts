import { apply } from "../../geometry/rigid-transform";
import type { Vector3 } from "../../geometry/vector";
import { WIDTHS } from "../../readings/catalogue";
import type { WidthReading } from "../../readings/readings-document";
import { type Figure, type FigurePoint, type Primitive, rectanglePath } from "../figure";
import { millimetres, pairWords } from "../format";
import { VIEW_WORDS } from "../picture/camera";
import type { ArchPicture } from "../picture/sheet-pictures";
import { MARKER_SHAPE, type TimepointKind } from "../style";
import { comparedKinds, type SheetContext } from "./context";

interface ArchFigureSize {
  /** Points. */
  readonly width: number;
  readonly height: number;
  /** Whether the measured widths lie on the picture. */
  readonly lines: boolean;
}

/**
 * A picture of the arch with what belongs on it: signs of the two times, a 10 mm scale, and the widths of the canines
 * and first molars (else the foremost and hindmost pair) as flat lines with their values on plates.
 */
export function archFigure(context: SheetContext, arch: ArchPicture, size: ArchFigureSize): Figure {
  const scale = Math.min(size.width / arch.picture.width, size.height / arch.picture.height);
  const width = arch.picture.width * scale;
  const height = arch.picture.height * scale;
  const left = (size.width - width) / 2;
  const onFigure = (point: Vector3): FigurePoint => {
    const [column, row] = arch.picture.project(point);
    return [left + column * scale, row * scale];
  };
  const kinds = comparedKinds(context);
  const widths = size.lines ? shownWidths(context) : [];
  const names = widths.map((w) => pairWords(w.pair)).join(" and ");
  return {
    width: size.width,
    height: size.height,
    description: [
      `${VIEW_WORDS[arch.view]}: the ${context.readings.span.to} scan as a solid surface${arch.coloured ? " coloured by its distance to the earlier one" : ""}`,
      arch.outlined ? `, the ${context.readings.span.from} scan as outlines over it` : "",
      names === "" ? "" : `, with the measured widths ${names}`,
      ".",
    ].join(""),
    primitives: [
      { kind: "image", at: [left, 0], width, height, picture: arch.name },
      ...widths.flatMap((w) => widthLines(context, w, arch, onFigure, kinds)),
      ...(arch.coloured ? [] : legend(context, arch, kinds)),
      ...scaleBar(arch, scale, size),
    ],
  };
}

/** The cusp-level widths of 3–3 and 6–6 where both times are measured; without them the foremost and the hindmost. */
function shownWidths({ readings }: SheetContext): WidthReading[] {
  const measured = readings.widths.filter(
    (w) => w.level === "cusp-tip" && w.before.state === "given" && w.after.state === "given",
  );
  const front = measured.find((w) => w.pair === "3-3") ?? measured[0];
  const back = measured.find((w) => w.pair === "6-6") ?? measured.at(-1);
  return [...new Set([front, back])].filter((w) => w !== undefined);
}

function widthLines(
  context: SheetContext,
  width: WidthReading,
  arch: ArchPicture,
  onFigure: (point: Vector3) => FigurePoint,
  kinds: { from: TimepointKind; to: TimepointKind },
): Primitive[] {
  const { from, to } = context.readings.span;
  const place = WIDTHS.find((w) => w.pair.name === width.pair && w.level === width.level)?.place;
  const drawn: Primitive[] = [];
  for (const [timepoint, kind, toFrame, given, shift] of [
    [from, kinds.from, arch.earlierToFrame, width.before, -9],
    [to, kinds.to, arch.laterToFrame, width.after, 9],
  ] as const) {
    if (toFrame === null || given.state === "withheld") continue;
    const [right, left] = width.teeth.map((tooth) => {
      const mark = context.readings.landmarks.find(
        (l) => l.timepoint === timepoint && l.tooth === tooth && l.place === place,
      );
      return mark === undefined ? null : onFigure(apply(toFrame, mark.used));
    }) as [FigurePoint | null, FigurePoint | null];
    if (right === null || left === null) continue;
    drawn.push({ kind: "line", from: right, to: left, stroke: kind, width: 1.1 });
    for (const at of [right, left]) {
      drawn.push({ kind: "marker", at, shape: MARKER_SHAPE[kind], size: 4.6, fill: "paper", stroke: kind, width: 1.1 });
    }
    const middle: FigurePoint = [(right[0] + left[0]) / 2, (right[1] + left[1]) / 2 + shift];
    drawn.push(...plate(middle, millimetres(given.reading.value), kind));
  }
  return drawn;
}

const PLATE_TYPE = 6.5;

/** A value on a small plate of paper, so that it can be read over the picture. */
function plate(middle: FigurePoint, text: string, kind: TimepointKind): Primitive[] {
  // Inter's tabular figures are 0.63 of the size wide, the rest about 0.6: enough to size the plate without a font.
  const width = text.length * PLATE_TYPE * 0.58 + 6;
  const height = PLATE_TYPE * 1.55;
  const [x, y] = middle;
  return [
    {
      kind: "path",
      path: rectanglePath(x - width / 2, y - height / 2, width, height, 2),
      fill: "paper",
      stroke: kind,
      width: 0.6,
    },
    {
      kind: "text",
      at: [x, y + PLATE_TYPE * 0.36],
      anchor: "middle",
      text,
      font: "sansStrong",
      size: PLATE_TYPE,
      colour: kind,
    },
  ];
}

function legend(
  context: SheetContext,
  arch: ArchPicture,
  kinds: { from: TimepointKind; to: TimepointKind },
): Primitive[] {
  const { from, to } = context.readings.span;
  const entries = [
    ...(arch.outlined ? [{ text: `${from}, as outline`, kind: kinds.from }] : []),
    { text: `${to}, solid`, kind: kinds.to },
  ];
  return entries.flatMap(({ text, kind }, i): Primitive[] => {
    const y = 6 + i * 11;
    return [
      {
        kind: "marker",
        at: [4, y],
        shape: MARKER_SHAPE[kind],
        size: 5,
        fill: kind === "retention" ? "paper" : kind,
        stroke: kind,
        width: 1,
      },
      { kind: "text", at: [11, y + 2.5], anchor: "start", text, font: "sans", size: 7, colour: "ink" },
    ];
  });
}

/** Ten millimetres on the arch, at the lower left. */
function scaleBar(arch: ArchPicture, scale: number, size: ArchFigureSize): Primitive[] {
  const length = (10 / arch.millimetresPerPixel) * scale;
  const y = size.height - 3;
  const line = (from: FigurePoint, to: FigurePoint): Primitive => ({
    kind: "line",
    from,
    to,
    stroke: "quiet",
    width: 0.7,
  });
  return [
    line([0.5, y], [0.5 + length, y]),
    line([0.5, y - 2], [0.5, y + 2]),
    line([0.5 + length, y - 2], [0.5 + length, y + 2]),
    {
      kind: "text",
      at: [length + 5, y + 2],
      anchor: "start",
      text: "10\u00a0mm",
      font: "sans",
      size: 6.5,
      colour: "quiet",
    },
  ];
}
