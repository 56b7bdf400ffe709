import type { ColourRole, FontRole } from "./style";

/**
 * Figures as data: a handful of primitives in points (1/72 inch), origin top left, y downwards. The PDF draws them as
 * vectors, the screen as SVG; colours and fonts are roles (see style.ts), so that either can theme them.
 */

/** x and y in points, from the figure's top left corner. */
export type FigurePoint = readonly [x: number, y: number];

export interface LinePrimitive {
  readonly kind: "line";
  readonly from: FigurePoint;
  readonly to: FigurePoint;
  readonly stroke: ColourRole;
  readonly width: number;
  /** Lengths of dash and gap in points; solid where left out. */
  readonly dash?: readonly [dash: number, gap: number];
}

export interface PathPrimitive {
  readonly kind: "path";
  /** An SVG path of absolute M, L, H, V, C and Z commands; use `pathOf`. */
  readonly path: string;
  /** A role of the style, or a colour of its own for scales ('#rrggbb'). */
  readonly fill?: ColourRole | `#${string}`;
  readonly fillOpacity?: number;
  readonly stroke?: ColourRole;
  readonly width?: number;
  readonly dash?: readonly [dash: number, gap: number];
}

export interface TextPrimitive {
  readonly kind: "text";
  /** Where the baseline begins, has its middle, or ends. */
  readonly at: FigurePoint;
  readonly anchor: "start" | "middle" | "end";
  readonly text: string;
  readonly font: FontRole;
  /** Size in points. */
  readonly size: number;
  readonly colour: ColourRole;
}

/** The sign of a timepoint or level: circle (before), diamond (after), square (retention). */
export interface MarkerPrimitive {
  readonly kind: "marker";
  readonly at: FigurePoint;
  readonly shape: "circle" | "diamond" | "square";
  /** Width and height in points, without the stroke. */
  readonly size: number;
  readonly fill: ColourRole;
  readonly stroke: ColourRole;
  readonly width: number;
}

export interface ImagePrimitive {
  readonly kind: "image";
  readonly at: FigurePoint;
  readonly width: number;
  readonly height: number;
  /** Name of the picture in `Sheet.pictures`. */
  readonly picture: string;
}

export type Primitive = LinePrimitive | PathPrimitive | TextPrimitive | MarkerPrimitive | ImagePrimitive;

export interface Figure {
  /** Points. */
  readonly width: number;
  readonly height: number;
  /** What the figure shows, in words: read aloud where it cannot be seen. */
  readonly description: string;
  /** In drawing order, the last on top. */
  readonly primitives: readonly Primitive[];
}

const short = (n: number): string => {
  const text = n.toFixed(2);
  return text.includes(".") ? text.replace(/\.?0+$/, "") : text;
};

/** An SVG path through the points, in points with two decimals. */
export function pathOf(points: readonly FigurePoint[], closed: boolean): string {
  const steps = points.map(([x, y], i) => `${i === 0 ? "M" : "L"}${short(x)} ${short(y)}`);
  return steps.join("") + (closed ? "Z" : "");
}

/** An SVG path around a rectangle with rounded corners, in points; radius 0 gives sharp ones. */
export function rectanglePath(x: number, y: number, width: number, height: number, radius = 0): string {
  if (radius === 0) {
    return pathOf(
      [
        [x, y],
        [x + width, y],
        [x + width, y + height],
        [x, y + height],
      ],
      true,
    );
  }
  // A quarter circle as one cubic: handles at 0.5523 of the radius keep it within 0.03 % (Goldapp 1991).
  const k = radius * (1 - 0.5523);
  const [l, t, r, b] = [x, y, x + width, y + height];
  const n = (...values: number[]) => values.map(short).join(" ");
  return [
    `M${n(l + radius, t)}L${n(r - radius, t)}C${n(r - k, t, r, t + k, r, t + radius)}`,
    `L${n(r, b - radius)}C${n(r, b - k, r - k, b, r - radius, b)}`,
    `L${n(l + radius, b)}C${n(l + k, b, l, b - k, l, b - radius)}`,
    `L${n(l, t + radius)}C${n(l, t + k, l + k, t, l + radius, t)}Z`,
  ].join("");
}
