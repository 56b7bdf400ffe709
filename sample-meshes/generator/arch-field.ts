import { smoothMinimum } from "./blending";
import type { GumField } from "./gum-field";
import { type PlacedTooth, toCrown } from "./tooth-placing";
import type { SoftTissue } from "./treatment";

/** A function of space whose zero level is a surface: about the distance in mm, negative inside. */
export interface Field {
  evaluate(x: number, y: number, z: number): number;
}

const CUFF_BLEND = 2;
const CREASE_BLEND = 0.7;
const CONTACT_BLEND = 0.25;

interface Part {
  readonly tooth: PlacedTooth;
  readonly rows: Float64Array;
  readonly lowU: number;
  readonly highU: number;
  readonly reachV: number;
  readonly lowW: number;
  readonly highW: number;
}

/** A whole arch at one time: crowns and cuffs where treatment put them, ridge and palate through the soft tissue's inverse. */
export class ArchField implements Field {
  private readonly parts: Part[];
  private readonly was = new Float64Array(3);

  constructor(
    readonly teeth: readonly PlacedTooth[],
    readonly gum: GumField,
    readonly soft: SoftTissue | null,
  ) {
    this.parts = teeth.map((tooth) => ({
      tooth,
      rows: toCrown(tooth),
      lowU: -tooth.size.mesiodistal / 2 - 2.2,
      highU: tooth.size.mesiodistal / 2 + 2.2,
      reachV: tooth.size.buccopalatal / 2 + 2.4,
      lowW: -11,
      highW: tooth.field.shape.height + 1.5,
    }));
  }

  /** The point before treatment of ridge or palate material that is now at x, y, z. */
  untreated(x: number, y: number, z: number): Float64Array {
    if (this.soft === null) {
      this.was[0] = x;
      this.was[1] = y;
      this.was[2] = z;
    } else {
      this.soft.before(x, y, z, this.was);
    }
    return this.was;
  }

  evaluate(x: number, y: number, z: number): number {
    const was = this.untreated(x, y, z);
    let gum = this.gum.evaluate(was[0]!, was[1]!, was[2]!);
    let crowns = 10;
    for (const part of this.parts) {
      const r = part.rows;
      const w = r[8]! * x + r[9]! * y + r[10]! * z + r[11]!;
      if (w > part.highW + 4 || w < part.lowW) continue;
      const u = r[0]! * x + r[1]! * y + r[2]! * z + r[3]!;
      const du = u < part.lowU ? part.lowU - u : u > part.highU ? u - part.highU : 0;
      if (du > 4) continue;
      const v = r[4]! * x + r[5]! * y + r[6]! * z + r[7]!;
      const dv = v < 0 ? -v - part.reachV : v - part.reachV;
      if (dv > 4) continue;
      const dw = w > part.highW ? w - part.highW : 0;
      if (du > 0 || dv > 0 || dw > 0) {
        const e = Math.max(dv, 0);
        const bound = Math.sqrt(du * du + e * e + dw * dw) + 1;
        if (bound < crowns) crowns = bound;
        continue;
      }
      const field = part.tooth.field;
      field.evaluate(u, v, w);
      gum = smoothMinimum(gum, field.cuff, CUFF_BLEND);
      crowns = smoothMinimum(crowns, field.crown, CONTACT_BLEND);
    }
    return smoothMinimum(gum, crowns, CREASE_BLEND);
  }

  /** The field of one crown alone. */
  crownAlone(tooth: number): Field {
    const part = this.parts.find((p) => p.tooth.tooth === tooth)!;
    const r = part.rows;
    const field = part.tooth.field;
    return {
      evaluate(x, y, z) {
        field.evaluate(
          r[0]! * x + r[1]! * y + r[2]! * z + r[3]!,
          r[4]! * x + r[5]! * y + r[6]! * z + r[7]!,
          r[8]! * x + r[9]! * y + r[10]! * z + r[11]!,
        );
        return field.crown;
      },
    };
  }
}

/** Moves p onto the field's zero level along the gradient (Newton); mm. Returns false where that fails. */
export function dropOntoSurface(
  field: Field,
  p: Float64Array,
  offset: number,
  steps: number,
  gradient: Float64Array,
): boolean {
  const e = 0.02;
  for (let step = 0; step < steps; step++) {
    const x = p[offset]!;
    const y = p[offset + 1]!;
    const z = p[offset + 2]!;
    const f = field.evaluate(x, y, z);
    const gx = (field.evaluate(x + e, y, z) - field.evaluate(x - e, y, z)) / (2 * e);
    const gy = (field.evaluate(x, y + e, z) - field.evaluate(x, y - e, z)) / (2 * e);
    const gz = (field.evaluate(x, y, z + e) - field.evaluate(x, y, z - e)) / (2 * e);
    const g2 = gx * gx + gy * gy + gz * gz;
    if (g2 < 1e-8) return false;
    const g = Math.sqrt(g2);
    gradient[0] = gx / g;
    gradient[1] = gy / g;
    gradient[2] = gz / g;
    const move = Math.min(Math.max(f / g2, -0.4 / g), 0.4 / g);
    p[offset] = x - move * gx;
    p[offset + 1] = y - move * gy;
    p[offset + 2] = z - move * gz;
    if (f < 1e-10 && f > -1e-10) break;
  }
  return true;
}
