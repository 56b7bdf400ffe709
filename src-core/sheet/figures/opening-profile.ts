import type { PatternReading, Readings } from "../../readings/readings-document";
import { type Figure, type FigurePoint, type Primitive, pathOf } from "../figure";
import { fixed, pairWords } from "../format";
import type { ColourRole } from "../style";
import { levelWords, verdictWords } from "../words";
import { type Axis, linearAxis } from "./axis";

/** Points of the figure and the size of its type. */
export interface ProfileSize {
  readonly width: number;
  readonly height: number;
  /** Size of the labels in points; 7 where left out. */
  readonly type?: number;
}

type Level = PatternReading["level"];

interface Dot {
  readonly pair: string;
  readonly station: number;
  readonly change: number;
  /** Expanded uncertainty (95 %), mm. */
  readonly expanded: number;
}

interface Series {
  readonly level: Level;
  readonly dots: readonly Dot[];
  readonly pattern: PatternReading | null;
}

/**
 * The opening profile: the change of each width (mm, with its 95 % error bar) over the pair's place along the arch
 * (mm behind the canines, arch frame of the earlier scan), and per level the fitted line with its 95 % band.
 * Dots are drawn as soon as a pair is measured; the line needs the pattern.
 * @returns the figure, with a sentence in place of the dots while there is none
 */
export function openingProfileFigure(readings: Readings, size: ProfileSize): Figure {
  const series = seriesOf(readings);
  const type = size.type ?? 7;
  const frame = { left: type * 2.6, right: size.width - 2, top: type * 2.4, bottom: size.height - type * 3.2 };
  const later: ColourRole = readings.span.words === "retention" ? "retention" : "after";
  const all = series.flatMap((s) => s.dots);
  if (all.length === 0) {
    const text = "No pair has been measured on both scans yet.";
    return {
      width: size.width,
      height: size.height,
      description: text,
      primitives: [label([size.width / 2, size.height / 2], "middle", text, type, "quiet")],
    };
  }
  const bands = series.flatMap((s) => s.pattern?.band ?? []);
  const stations = [...all.map((d) => d.station), ...bands.map((b) => b[0])];
  const values = [...all.flatMap((d) => [d.change - d.expanded, d.change + d.expanded]), ...bands.map((b) => b[1]), 0];
  const x = linearAxis(
    "exact",
    Math.min(...stations, 0) - 2,
    Math.max(...stations, 10) + 2,
    frame.left,
    frame.right,
    5,
  );
  const [low, high] = [Math.min(...values), Math.max(...values, 1)];
  // The pairs' names need some room above the highest error bar.
  const y = linearAxis("round", low, high + (high - low) * 0.09, frame.bottom, frame.top, 4);
  const clip = { low: y.low, high: y.high };
  return {
    width: size.width,
    height: size.height,
    description: inWords(series, readings),
    primitives: [
      ...grid(x, y, frame, type, series.some((s) => s.level === "palatal-gingival") && series.length > 1),
      ...series.toReversed().flatMap((s) => lineAndBand(s, x, y, clip, s.level === "cusp-tip" ? later : "quiet")),
      ...series.toReversed().flatMap((s) => dots(s, x, y)),
      ...names(series, x, y, type),
    ],
  };
}

/** The cusp level first; per level what is measured and what is fitted. */
function seriesOf(readings: Readings): Series[] {
  const patterns = readings.patterns.flatMap((p) => (p.state === "given" ? [p.reading] : []));
  const levels: Level[] = ["cusp-tip", "palatal-gingival"];
  return levels
    .map((level) => ({
      level,
      dots: readings.widths.flatMap((w) =>
        w.level === level && w.change.state === "given" && w.station !== null
          ? [
              {
                pair: w.pair,
                station: w.station,
                change: w.change.reading.value,
                expanded: w.change.reading.expandedUncertainty,
              },
            ]
          : [],
      ),
      pattern: patterns.find((p) => p.level === level) ?? null,
    }))
    .filter((s) => s.dots.length > 0);
}

function label(
  at: FigurePoint,
  anchor: "start" | "middle" | "end",
  text: string,
  size: number,
  colour: ColourRole,
  strong = false,
): Primitive {
  return { kind: "text", at, anchor, text, font: strong ? "sansStrong" : "sans", size, colour };
}

function grid(
  x: Axis,
  y: Axis,
  frame: { left: number; right: number; top: number; bottom: number },
  type: number,
  twoLevels: boolean,
): Primitive[] {
  const drawn: Primitive[] = [];
  for (const tick of y.ticks) {
    const at = y.at(tick);
    drawn.push({
      kind: "line",
      from: [frame.left, at],
      to: [frame.right, at],
      stroke: tick === 0 ? "quiet" : "rule",
      width: tick === 0 ? 0.75 : 0.5,
    });
    drawn.push(label([frame.left - type * 0.6, at + type * 0.36], "end", fixed(tick, y.decimals), type, "quiet"));
  }
  for (const tick of x.ticks) {
    drawn.push(label([x.at(tick), frame.bottom + type * 1.5], "middle", fixed(tick, x.decimals), type, "quiet"));
  }
  const foot = frame.bottom + type * 2.9;
  drawn.push(
    label([0, type], "start", "change of width, mm", type, "quiet"),
    label([frame.left, foot], "start", "front", type, "quiet"),
    label([(frame.left + frame.right) / 2, foot], "middle", "distance behind the canines, mm", type, "quiet"),
    label([frame.right, foot], "end", "back", type, "quiet"),
  );
  if (twoLevels) {
    const at = type * 0.65;
    const gingival = frame.right - type * 7.4;
    const cusp = gingival - type * 6;
    drawn.push(
      { kind: "marker", at: [cusp, at], shape: "circle", size: 4, fill: "ink", stroke: "ink", width: 1 },
      label([cusp + 5, type], "start", levelWords("cusp-tip"), type, "quiet"),
      { kind: "marker", at: [gingival, at], shape: "circle", size: 4, fill: "paper", stroke: "quiet", width: 1 },
      label([gingival + 5, type], "start", levelWords("palatal-gingival"), type, "quiet"),
    );
  }
  return drawn;
}

function lineAndBand(
  series: Series,
  x: Axis,
  y: Axis,
  clip: { low: number; high: number },
  colour: ColourRole,
): Primitive[] {
  const band = series.pattern?.band ?? [];
  if (band.length < 2) return [];
  const inside = (value: number) => Math.min(Math.max(value, clip.low), clip.high);
  const upper = band.map(([s, , , high]): FigurePoint => [x.at(s), y.at(inside(high))]);
  const lower = band.map(([s, , low]): FigurePoint => [x.at(s), y.at(inside(low))]);
  const line = band.map(([s, change]): FigurePoint => [x.at(s), y.at(inside(change))]);
  return [
    { kind: "path", path: pathOf([...upper, ...lower.reverse()], true), fill: colour, fillOpacity: 0.13 },
    {
      kind: "path",
      path: pathOf(line, false),
      stroke: colour,
      width: 1.1,
      ...(series.level === "cusp-tip" ? {} : { dash: [3, 2] as const }),
    },
  ];
}

function dots(series: Series, x: Axis, y: Axis): Primitive[] {
  const cusp = series.level === "cusp-tip";
  const colour: ColourRole = cusp ? "ink" : "quiet";
  return series.dots.flatMap((dot): Primitive[] => {
    const at: FigurePoint = [x.at(dot.station), y.at(dot.change)];
    return [
      {
        kind: "line",
        from: [at[0], y.at(dot.change - dot.expanded)],
        to: [at[0], y.at(dot.change + dot.expanded)],
        stroke: colour,
        width: 1,
      },
      { kind: "marker", at, shape: "circle", size: 4.5, fill: cusp ? "ink" : "paper", stroke: colour, width: 1.1 },
    ];
  });
}

/** Each pair is named once, above its highest error bar. */
function names(series: readonly Series[], x: Axis, y: Axis, type: number): Primitive[] {
  const all = series.flatMap((s) => s.dots);
  const pairs = [...new Set(all.map((d) => d.pair))];
  return pairs.map((pair) => {
    const own = all.filter((d) => d.pair === pair);
    const station = own.reduce((sum, d) => sum + d.station, 0) / own.length;
    const top = Math.max(...own.map((d) => d.change + d.expanded));
    return label([x.at(station), y.at(top) - type * 0.5], "middle", pairWords(pair), type, "ink", true);
  });
}

function inWords(series: readonly Series[], readings: Readings): string {
  const words = readings.span.words;
  return series
    .map((s) => {
      const values = s.dots.map((d) => `${pairWords(d.pair)} ${fixed(d.change, 1)} mm`).join(", ");
      const verdict = s.pattern === null ? "" : `; verdict: ${verdictWords(s.pattern.verdict, words)}`;
      return `Change of width over the distance behind the canines, ${levelWords(s.level)}: ${values}${verdict}.`;
    })
    .join(" ");
}
