/** Colours and fonts by what they are for. Sheet, pictures and screen share the roles; each theme gives the values. */

/** What a colour is for; never its value. */
export const COLOUR_ROLES = [
  "paper",
  "ink",
  "quiet",
  "rule",
  "soft",
  "before",
  "after",
  "retention",
  "asks",
  "plaster",
] as const;
export type ColourRole = (typeof COLOUR_ROLES)[number];

export type Palette = Readonly<Record<ColourRole, `#${string}`>>;

/** On the screen by day. */
export const LIGHT: Palette = {
  paper: "#fbfaf6",
  ink: "#20242b",
  quiet: "#5c626d",
  rule: "#d8d3c6",
  soft: "#f3f0e8",
  before: "#2b6ca3",
  after: "#b84c10",
  retention: "#5a1846",
  asks: "#8a5a00",
  plaster: "#ecdfca",
};

/** On the screen by night. */
export const DARK: Palette = {
  paper: "#1d2026",
  ink: "#eceae4",
  quiet: "#a3a8b2",
  rule: "#373b44",
  soft: "#252932",
  before: "#6fb0e6",
  after: "#f0945a",
  retention: "#e8d5f0",
  asks: "#e0b350",
  plaster: "#ecdfca",
};

/** On printed paper, which is white. */
export const PRINT: Palette = { ...LIGHT, paper: "#ffffff" };

/** The four fonts of sheet and screen: Inter (sans) and Source Serif 4 (serif), regular and semibold (strong). */
export type FontRole = "sans" | "sansStrong" | "serif" | "serifStrong";

/** Which sign and colour a timepoint bears. */
export type TimepointKind = "before" | "after" | "retention";

/** The sign of each kind of timepoint, so that colour never carries the meaning alone. */
export const MARKER_SHAPE: Readonly<Record<TimepointKind, "circle" | "diamond" | "square">> = {
  before: "circle",
  after: "diamond",
  retention: "square",
};

/** Red, green, blue 0–255 of '#rrggbb'. */
export function channels(hex: `#${string}`): [red: number, green: number, blue: number] {
  return [1, 3, 5].map((i) => Number.parseInt(hex.slice(i, i + 2), 16)) as [number, number, number];
}
