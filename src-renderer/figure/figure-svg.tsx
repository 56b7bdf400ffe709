import type { Figure, Primitive } from "#core/sheet/figure";
import type { FontRole } from "#core/sheet/style";

/** A figure of the sheet on the screen: one of its points is one pixel, its colours are those of the theme. */
export function FigureSvg({ figure }: { figure: Figure }) {
  return (
    <svg
      className="figure"
      width={figure.width}
      height={figure.height}
      viewBox={`0 0 ${figure.width} ${figure.height}`}
      role="img"
      aria-label={figure.description}
    >
      {figure.primitives.map((primitive, i) => {
        const key = `${i} ${primitive.kind}`;
        return <Drawn key={key} primitive={primitive} />;
      })}
    </svg>
  );
}

/** A role becomes the theme's colour; a colour of a scale stays. */
const paint = (role: string | undefined): string =>
  role === undefined ? "none" : role.startsWith("#") ? role : `var(--${role})`;

const dashes = (dash: readonly [number, number] | undefined) =>
  dash === undefined ? {} : { strokeDasharray: dash.join(" ") };

function Drawn({ primitive: p }: { primitive: Primitive }) {
  switch (p.kind) {
    case "line":
      return (
        <line
          x1={p.from[0]}
          y1={p.from[1]}
          x2={p.to[0]}
          y2={p.to[1]}
          stroke={paint(p.stroke)}
          strokeWidth={p.width}
          {...dashes(p.dash)}
        />
      );
    case "path":
      return (
        <path
          d={p.path}
          fill={paint(p.fill)}
          fillOpacity={p.fillOpacity ?? 1}
          stroke={paint(p.stroke)}
          strokeWidth={p.width ?? 0}
          strokeLinejoin="round"
          {...dashes(p.dash)}
        />
      );
    case "text":
      return (
        <text
          x={p.at[0]}
          y={p.at[1]}
          textAnchor={p.anchor}
          fontSize={p.size}
          className={FONT[p.font]}
          fill={paint(p.colour)}
        >
          {p.text}
        </text>
      );
    case "marker":
      return <Marker marker={p} />;
    case "image":
      return null; // pictures are drawn when the sheet is issued; on the screen stands the stage
  }
}

const FONT: Readonly<Record<FontRole, string>> = {
  sans: "font-sans",
  sansStrong: "font-sans strong",
  serif: "font-serif",
  serifStrong: "font-serif strong",
};

function Marker({ marker }: { marker: Extract<Primitive, { kind: "marker" }> }) {
  const { at, shape, size, fill, stroke, width } = marker;
  const look = { fill: paint(fill), stroke: paint(stroke), strokeWidth: width };
  const [x, y] = at;
  const half = size / 2;
  if (shape === "circle") return <circle cx={x} cy={y} r={half} {...look} />;
  if (shape === "square") return <rect x={x - half} y={y - half} width={size} height={size} {...look} />;
  const reach = half * Math.SQRT2;
  return <path d={`M${x} ${y - reach}l${reach} ${reach}-${reach} ${reach}-${reach}-${reach}Z`} {...look} />;
}
