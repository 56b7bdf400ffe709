/** A part of a surface, chosen vertex by vertex. */
export interface Region {
  /** Per vertex, 1 = belongs to it. */
  readonly mask: Uint8Array;
  /** mm² */
  readonly area: number;
}

/** What scans are registered by, and its two sides. */
export interface SidedRegion {
  /** Proposed from the landmarks, or painted by the user. */
  readonly origin: "proposed" | "painted";
  readonly whole: Region;
  /** The patient's right. */
  readonly right: Region;
  readonly left: Region;
}
