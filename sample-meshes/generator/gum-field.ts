import type { ArchForm } from "./arch-form";
import { bump, smoothMaximum, smoothStep } from "./blending";
import type { PalateRelief } from "./palate-relief";
import { PlaneTable } from "./plane-table";
import { spatialNoise } from "./spatial-noise";
import { CONTACT_SPACING, type PlacedTooth } from "./tooth-placing";

/** The vault of the palate: heights over the alveolar crest and the run from the crest to the full height, mm. */
export interface Vault {
  readonly depthInFront: number;
  readonly depthBehind: number;
  readonly run: number;
}

/** How far the crest lies above the necks of the crowns, so that the gum's cuffs stand clear of it, mm. */
const CREST_ABOVE_NECK = 1.5;
/** How much farther down it reaches between the teeth, under the papillae, mm. */
const CREST_BETWEEN_TEETH = 2.2;
/** In the midline, against that. */
const MIDLINE = 1.55;

/**
 * Alveolar ridge and palate (upper) or the inner side of the ridge (lower, `relief` null) before treatment, in the
 * model frame: about the distance in mm, negative inside.
 */
export class GumField {
  private readonly offset: PlaneTable;
  private readonly run: PlaneTable;
  private readonly wallAt: PlaneTable;
  private readonly wallSlope: PlaneTable;
  private readonly swelling: PlaneTable;
  private readonly crest: PlaneTable;
  private readonly level: PlaneTable;
  private readonly roof: PlaneTable;
  private readonly roofScale: PlaneTable;

  constructor(
    form: ArchForm,
    teeth: readonly PlacedTooth[],
    vault: Vault,
    readonly relief: PalateRelief | null,
    private readonly seed: number,
  ) {
    const upper = relief !== null;
    const samples = teeth.map((t) => {
      const at = form.nearest(t.origin[0], t.origin[1]);
      const half = t.size.buccopalatalAtNeck / 2;
      const place = t.tooth % 10;
      return {
        x: t.origin[0],
        y: t.origin[1],
        neck: t.origin[2],
        half,
        rise: t.buccal[2],
        width: t.size.mesiodistal,
        place,
        ...at,
      };
    });
    const blend = (value: (sample: (typeof samples)[number]) => number) =>
      PlaneTable.of((x, y) => {
        let sum = 0;
        let weights = 0;
        for (const sample of samples) {
          const dx = x - sample.x;
          const dy = y - sample.y;
          const d2 = dx * dx + dy * dy + 4;
          const w = 1 / (d2 * d2 * d2);
          sum += w * value(sample);
          weights += w;
        }
        return sum / weights;
      });
    this.run = new PlaneTable();
    this.offset = this.run.map((_, x, y, i) => {
      const at = form.nearest(x, y);
      this.run.values[i] = at.s;
      return at.offset;
    });
    const level = blend((t) => t.neck + CREST_ABOVE_NECK).softened(1, 2);
    const contacts = contactsAlong(teeth);
    const end = contacts[contacts.length - 1]!;
    // Between the teeth the crest reaches down; behind the last molar it rounds off upwards.
    this.crest = this.run.map((along, x, y) => {
      const near = smoothStep(-9, -4.5, this.offset.at(x, y));
      let between = 0;
      for (const s of contacts.slice(1)) between = Math.max(between, bump((along - s) / 2.3));
      // Wider in the midline, where the gap may open.
      between = Math.max(between, MIDLINE * bump(along / 3));
      const beyond = smoothStep(end + 0.5, end + 9, along);
      return level.at(x, y) - CREST_BETWEEN_TEETH * between * near + 2.6 * beyond * near;
    });
    this.level = level.softened(3, 3);
    // Where the buccal plate stands at the crest: outside the root, measured from the arch form.
    this.wallAt = blend((t) => t.offset + t.half + 0.55);
    this.wallSlope = blend((t) => -t.rise * 0.5 + (t.place > 3 ? 0.03 : 0.02));
    const strength = [0.35, 0.15, 0.85, 0.45, 0.35, 0.4, 0.35];
    this.swelling = this.run.map((along, x, y) => {
      let swelling = -0.15;
      for (const t of samples) {
        if (t.x > 0 !== x > 0) continue;
        const reach = 0.6 * t.width + 0.4;
        swelling += (strength[t.place - 1]! + 0.1) * bump((along - t.s) / reach);
      }
      return swelling + 0.9 * bump(x / 1.1) * bump((y + 6) / 9);
    });
    const inner = blend((t) => t.half - t.offset);
    const vaultTable = this.offset.map((offset, x, y) => {
      const depth = vault.depthInFront + (vault.depthBehind - vault.depthInFront) * smoothStep(2, 30, y);
      const rise = (-offset - inner.at(x, y) - 0.3) / vault.run;
      const t = Math.min(Math.max(rise, 0), 1);
      // Steep at the gum, flat in the middle.
      const shape = upper ? t * t * (3 - 2 * t) * 0.55 + (1 - (1 - t) * (1 - t)) * 0.45 * smoothStep(0, 0.25, t) : t;
      return this.crest.at(x, y) + depth * shape;
    });
    const soft = vaultTable.softened(1, 3);
    this.roof =
      relief === null
        ? soft
        : soft.map((z, x, y, i) => {
            const inside = smoothStep(-1.5, -4.5, this.offset.values[i]!);
            return inside === 0 ? z : z - relief.at(x, y) * inside;
          });
    this.roofScale = soft.map((_, x, y) => {
      const e = 0.5;
      const dx = (soft.at(x + e, y) - soft.at(x - e, y)) / (2 * e);
      const dy = (soft.at(x, y + e) - soft.at(x, y - e)) / (2 * e);
      return 1 / Math.sqrt(1 + dx * dx + dy * dy);
    });
  }

  /** About the distance from the surface at a point of the model frame before treatment, mm, negative inside. */
  evaluate(x: number, y: number, z: number): number {
    const offset = this.offset.at(x, y);
    const roof = (this.roof.at(x, y) - z) * this.roofScale.at(x, y);
    if (offset < -7) return roof;
    const above = z - this.crest.at(x, y);
    const up = Math.max(above, 0);
    const flare = up > 6 ? (up - 6) * (up - 6) * 0.045 : 0;
    const bulge = this.swelling.at(x, y) * smoothStep(-1, 2.5, above) * (1 - 0.45 * smoothStep(5, 11, above));
    const wall =
      offset - this.wallAt.at(x, y) - this.wallSlope.at(x, y) * up - bulge - flare + 0.35 * smoothStep(1, 6, above);
    const rough = 0.06 * spatialNoise(x * 0.5, y * 0.5, z * 0.5, this.seed);
    return smoothMaximum(wall * 0.95 + rough, roof, 3);
  }

  /** How far z lies above the general level of the alveolar crest at x, y (mm). */
  aboveCrest(x: number, y: number, z: number): number {
    return z - this.level.at(x, y);
  }

  /** Distance to buccal of the arch form (mm). */
  buccalOffset(x: number, y: number): number {
    return this.offset.at(x, y);
  }

  /** Running length along the arch form from the midline (mm). */
  along(x: number, y: number): number {
    return this.run.at(x, y);
  }
}

/** Where the crowns of one side touch, as lengths along the arch form from the midline on, the last one's distal end included. */
function contactsAlong(teeth: readonly PlacedTooth[]): number[] {
  const contacts = [0];
  for (const t of teeth.filter((tooth) => tooth.left)) {
    contacts.push(contacts[contacts.length - 1]! + t.size.mesiodistal * CONTACT_SPACING);
  }
  return contacts;
}
