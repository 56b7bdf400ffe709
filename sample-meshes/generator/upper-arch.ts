import { ArchField } from "./arch-field";
import { ArchForm } from "./arch-form";
import type { CrownField } from "./crown-field";
import { GumField, type Vault } from "./gum-field";
import { PalateRelief } from "./palate-relief";
import { Random } from "./random";
import { movedTooth, type PlacedTooth, placeTeeth } from "./tooth-placing";
import { halfMotion, SoftTissue, type Treatment } from "./treatment";

/** What makes one patient's upper arch differ from another's, besides the seed. */
export interface ArchTraits {
  /** Points of the left half of the arch form, from the midline back, mm. */
  readonly form: readonly (readonly [number, number])[];
  readonly vault: Vault;
  /** How far the front teeth stand out of line, 0 none to 1. */
  readonly crowding: number;
  /** Half width of the palatal band that stretches when the halves part, mm; 5 if left out. */
  readonly stretchedHalfBand?: number;
}

/** A narrow arch, tapering to the front, with a high vault. */
export const NARROW_ARCH: ArchTraits = {
  form: [
    [0, 0],
    [4.3, 0.4],
    [10.6, 4.4],
    [14.6, 10],
    [17.9, 16.1],
    [20, 22.8],
    [22, 31],
    [23.8, 40.2],
    [24.4, 49],
    [24.6, 58],
  ],
  vault: { depthInFront: 5, depthBehind: 15, run: 14.5 },
  crowding: 1,
};

/** A longer, U-shaped arch with a flatter vault. */
export const LONG_ARCH: ArchTraits = {
  form: [
    [0, 0],
    [4.4, 0.25],
    [11.2, 3.4],
    [15.9, 8.6],
    [19, 15],
    [20.6, 21.8],
    [22, 30.2],
    [23.2, 39.5],
    [23.6, 48.5],
    [23.6, 57],
  ],
  vault: { depthInFront: 4.5, depthBehind: 13, run: 14.5 },
  crowding: 0.6,
};

const OCCLUSAL_LEVEL = -7.5;
const HALF_BAND = 5;

/** An upper arch before treatment, from which its later states are made. */
export class UpperArch {
  readonly teeth: PlacedTooth[];
  readonly gum: GumField;
  readonly relief: PalateRelief;
  readonly field: ArchField;
  /** Where a scan of it ends at the back, mm. */
  readonly backY: number;
  private readonly own: { mesial: number; turn: number }[];
  private readonly halfBand: number;

  constructor(traits: ArchTraits, seed: number) {
    const random = new Random(seed);
    this.halfBand = traits.stretchedHalfBand ?? HALF_BAND;
    const form = new ArchForm(traits.form);
    this.teeth = placeTeeth("upper", form, OCCLUSAL_LEVEL, traits.crowding, random.branch(1));
    const vaultHalfWidth = form.at(26).x - 5;
    this.relief = new PalateRelief(9.6, vaultHalfWidth, random.branch(2));
    this.gum = new GumField(form, this.teeth, traits.vault, this.relief, Math.floor(random.uniform() * 65536));
    this.field = new ArchField(this.teeth, this.gum, null);
    const last = this.teeth.find((t) => t.tooth === 27)!;
    this.backY = last.origin[1] + 9.5;
    const small = random.branch(4);
    this.own = this.teeth.map(() => ({ mesial: small.between(-0.6, 0.6), turn: small.between(-0.8, 0.8) }));
  }

  /** The arch after a treatment: the halves' and crowns' rigid motions and the field they give. `unrest` scales the crowns' small own movements. */
  treated(treatment: Treatment, unrest: number): { field: ArchField; soft: SoftTissue; teeth: PlacedTooth[] } {
    const right = halfMotion(treatment, false);
    const left = halfMotion(treatment, true);
    const soft = new SoftTissue(right, left, this.halfBand);
    const gap = soft.opening(this.teeth[0]!.origin[1]);
    const teeth = this.teeth.map((still, i) => {
      const tooth = still.tooth % 10 === 1 ? { ...still, field: withSunkenPapilla(still.field, gap) } : still;
      const own = this.own[i]!;
      return movedTooth(
        tooth,
        tooth.left ? left : right,
        treatment.tipping[(tooth.tooth % 10) - 1]!,
        own.mesial * unrest,
        own.turn * unrest,
        treatment.pivotBelowNeck,
      );
    });
    return { field: new ArchField(teeth, this.gum, soft), soft, teeth };
  }
}

/** Where the central incisors part, the papilla between them sinks; the gingiva's most apical points stay. */
function withSunkenPapilla(field: CrownField, gap: number): CrownField {
  const gingiva = field.shape.gingiva;
  const lowest = gingiva.palatal + 1.5;
  return field.withGingiva({
    ...gingiva,
    mesialPapilla: Math.max(lowest, gingiva.mesialPapilla - 0.5 * Math.max(gap, 0)),
  });
}
