import { smoothMaximum } from "./blending";
import type { CrownPoint, CrownShape, GingivalLine } from "./crown-shape";
import { spatialNoise } from "./spatial-noise";

const UNEVENNESS = 0.07;
/** The gum's edge stands this far proud of the crown, mm. */
const CUFF = 0.5;
const CUFF_ROUND = 0.75;
/** Rounding of a crest's profile at its tip, mm. */
const TIP = 0.55;

/** A crown and its gingival cuff as fields in the crown frame: about the distance in mm, negative inside. */
export class CrownField {
  /** Results of the last `evaluate`. */
  crown = 0;
  cuff = 0;

  private readonly crests: Float64Array;
  private readonly fissures: Float64Array;
  private readonly lowest: number;

  constructor(
    readonly shape: CrownShape,
    private readonly seed: number,
  ) {
    this.crests = Float64Array.from(shape.crests.flatMap((c) => [...c.from, ...c.to, c.slope, c.round]));
    this.fissures = Float64Array.from(
      shape.fissures.flatMap((f) => f.line.slice(1).flatMap((end, i) => [...f.line[i]!, ...end, f.depth, f.reach])),
    );
    this.lowest = shape.floor - 1.2;
  }

  /** The same crown with another line of the gingiva. */
  withGingiva(gingiva: GingivalLine): CrownField {
    return new CrownField({ ...this.shape, gingiva }, this.seed);
  }

  /** Height of the chewing surface above the neck at u, v (mm). */
  chewingSurface(u: number, v: number): number {
    let height = this.shape.floor;
    const c = this.crests;
    for (let i = 0; i < c.length; i += 8) {
      const eu = c[i + 3]! - c[i]!;
      const ev = c[i + 4]! - c[i + 1]!;
      const pu = u - c[i]!;
      const pv = v - c[i + 1]!;
      const e2 = eu * eu + ev * ev;
      let t = e2 > 0 ? (pu * eu + pv * ev) / e2 : 0;
      t = t < 0 ? 0 : Math.min(t, 1);
      const du = pu - t * eu;
      const dv = pv - t * ev;
      const round = c[i + 7]!;
      const fall = c[i + 6]! * (Math.sqrt(du * du + dv * dv + round * round) - round);
      // Rounded along the crest too, so that a cusp tip is a dome and not a point.
      const share = (Math.sqrt(t * t * e2 + TIP * TIP) - TIP) / (Math.sqrt(e2 + TIP * TIP) - TIP);
      height = smoothMaximum(height, c[i + 2]! + share * (c[i + 5]! - c[i + 2]!) - fall, 0.3);
    }
    const f = this.fissures;
    let carved = 0;
    for (let i = 0; i < f.length; i += 6) {
      const eu = f[i + 2]! - f[i]!;
      const ev = f[i + 3]! - f[i + 1]!;
      const pu = u - f[i]!;
      const pv = v - f[i + 1]!;
      let t = (pu * eu + pv * ev) / (eu * eu + ev * ev);
      t = t < 0 ? 0 : Math.min(t, 1);
      const du = pu - t * eu;
      const dv = pv - t * ev;
      const d = Math.sqrt(du * du + dv * dv + 0.01) / f[i + 5]!;
      if (d < 1) carved = smoothMaximum(carved, f[i + 4]! * (1 - d) * (1 - d), 0.1);
    }
    return height - carved;
  }

  /** Signed distance from the crown's wall, without its chewing surface. */
  private wall(u: number, v: number, w: number): number {
    const s = this.shape;
    const t = w / s.height;
    const uu = u - s.shear * v;
    const vv = v + s.bow * u * u;
    const a = uu > 0 ? s.mesial.at(t) : s.distal.at(t);
    const palatalHalf = s.palatal.at(t);
    const b = vv > 0 ? s.buccal.at(t) : palatalHalf;
    const U = uu / a;
    const V = vv / b;
    const U2 = U * U;
    const V2 = V * V;
    const r2 = Math.sqrt(U2 + V2) + 1e-9;
    const r4 = Math.sqrt(Math.sqrt(U2 * U2 + V2 * V2)) + 1e-9;
    const square = s.squareness.at(t);
    const norm = r2 + square * (r4 - r2);
    const cube = r4 * r4 * r4;
    const gu = (U / r2 + square * ((U2 * U) / cube - U / r2)) / a;
    const gv = (V / r2 + square * ((V2 * V) / cube - V / r2)) / b;
    const slope = Math.sqrt(gu * gu + gv * gv);
    // Deep inside, the formula looks along the wrong side: nothing lies deeper than the thinner half.
    const deepest = -Math.min(a, b, palatalHalf, s.buccal.at(t)) - 0.2;
    let wall = slope > 1e-6 ? (norm - 1) / slope : deepest;
    if (wall < deepest) wall = deepest;
    if (wall < 2 && wall > -2) {
      for (const relief of s.reliefs) {
        const x = (uu - relief.u) / relief.reachU;
        const y = (t - relief.height) / relief.reachHeight;
        const x2 = 1 - x * x;
        const y2 = 1 - y * y;
        if (x2 <= 0 || y2 <= 0) continue;
        // The relief belongs to one side: it fades across the middle of the crown's thickness.
        const across = 0.5 + (relief.side * (vv - (s.buccal.at(t) - palatalHalf) / 2)) / (s.buccal.at(t) + palatalHalf);
        const share = across <= 0.35 ? 0 : across >= 0.75 ? 1 : (across - 0.35) / 0.4;
        wall -= relief.out * x2 * x2 * y2 * y2 * share * share * (3 - 2 * share);
      }
      wall += UNEVENNESS * spatialNoise(u * 0.4 + 7, v * 0.4, w * 0.4, this.seed);
    }
    return wall;
  }

  /** Height of the gingival margin above the neck in the direction of u, v (mm). */
  margin(u: number, v: number, w: number): number {
    const s = this.shape;
    const t = w / s.height;
    const uu = u - s.shear * v;
    const vv = v + s.bow * u * u;
    const a = uu > 0 ? s.mesial.at(t) : s.distal.at(t);
    const g = s.gingiva;
    const V = vv / (vv > 0 ? s.buccal.at(t) : s.palatal.at(t));
    const U = uu / a - g.zenith * Math.abs(V);
    const share = (U * U) / (U * U + V * V + 1e-12);
    const base = vv > 0 ? g.buccal : g.palatal;
    const papilla = U > 0 ? g.mesialPapilla : g.distalPapilla;
    return base + (papilla - base) * share * (0.7 + 0.3 * share);
  }

  /** Sets `crown` and `cuff` for a point of the crown frame (mm). */
  evaluate(u: number, v: number, w: number): void {
    const wall = this.wall(u, v, w);
    let crown = wall;
    if (w > this.lowest - 1.5 && wall < 2.5) {
      const top = (w - this.chewingSurface(u, v)) * 0.8;
      crown = smoothMaximum(wall, top, this.shape.edge);
    } else if (w > this.shape.height) {
      const above = w - this.shape.height;
      crown = Math.max(wall, above);
    }
    this.crown = crown;
    if (wall > 4) {
      this.cuff = wall - 1.4;
      return;
    }
    const above = w - this.margin(u, v, w);
    const below = above < 0 ? -above : 0;
    const thickness = CUFF + (0.9 * below) / (below + 3);
    this.cuff = smoothMaximum(wall - thickness, above, CUFF_ROUND);
  }

  /**
   * The crease where the gum meets the crown, in the vertical plane through the crown's axis and the direction u, v.
   * Returns the point of the crown frame (mm).
   */
  crease(directionU: number, directionV: number): CrownPoint {
    let w = this.shape.gingiva.palatal;
    let r = 0;
    for (let round = 0; round < 12; round++) {
      let low = 0.2;
      let high = 9;
      for (let i = 0; i < 40; i++) {
        r = (low + high) / 2;
        if (this.wall(directionU * r, directionV * r, w) < 0) low = r;
        else high = r;
      }
      w = this.margin(directionU * r, directionV * r, w);
    }
    return [directionU * r, directionV * r, w];
  }
}
