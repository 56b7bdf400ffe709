import { z } from "zod";
import { ArchReadings } from "./arch-document";
import { GrowthReading } from "./growth-document";
import { NeedReading } from "./need-document";
import { given, Interval, Quantity, WidthLevel } from "./quantity";
import { RepeatReadings } from "./repeat-readings";
import { RetentionReading } from "./retention-document";
import { ScrewReading } from "./screw-document";
import { TippingReading } from "./tipping-document";

/**
 * What was measured, as data: the content of readings.json, the source of the sheet and of the screen.
 * Lengths mm, angles degrees, positions along the arch in mm of the before scan's arch frame (y to the back).
 */

export * from "./quantity";

export const WidthReading = z.strictObject({
  /** '3-3', '4-4', '5-5', '6-6', '7-7'; deciduous pairs 'III-III', 'IV-IV', 'V-V'. */
  pair: z.string(),
  teeth: z.tuple([z.number().int(), z.number().int()]),
  level: WidthLevel,
  /** The landmark's place in the trade's words: 'mesiobuccal cusp tips'. */
  at: z.string(),
  kind: z.literal("straight"),
  before: given(Quantity),
  after: given(Quantity),
  change: given(Quantity),
  /** The transverse part of the change, without uncertainty of its own; null where no frame is possible. */
  transverseChange: z.number().nullable(),
  /** The change by the earlier scan's points carried over, where points were placed by hand on both scans; else null. */
  changeIfCarried: Quantity.nullable(),
  /** |change| ≤ U of the change; null where the change is withheld. */
  withinMeasurementError: z.boolean().nullable(),
  /** How far behind the canines' station the pair stands, mm; null without frame. */
  station: z.number().nullable(),
});
export type WidthReading = z.infer<typeof WidthReading>;

export const Verdict = z.enum(["no-change", "narrowed", "fan-front", "fan-back", "parallel", "irregular", "undecided"]);
export type Verdict = z.infer<typeof Verdict>;

export const PatternReading = z.strictObject({
  level: z.enum(["cusp-tip", "palatal-gingival"]),
  verdict: Verdict,
  /** One sentence that says why, or what would decide it. */
  because: z.string(),
  /** The points of the opening profile. */
  pairs: z.array(
    z.strictObject({ pair: z.string(), station: z.number(), change: z.number(), standardUncertainty: z.number() }),
  ),
  /** Fitted change at the canines' and at the first molars' station, mm. */
  atCanines: Interval,
  atMolars: Interval,
  stations: z.strictObject({ canines: z.number(), molars: z.number() }),
  /** D: atCanines − atMolars, mm, 95 % and 90 % intervals. */
  difference: Interval,
  difference90: Interval,
  /** Change per 10 mm towards the back, mm per 10 mm (negative: less at the back). */
  slopePer10mm: Interval,
  /** 2·atan(slope/2), total of both sides, degrees, positive when wider in front. */
  openingAngleOfTeeth: Interval,
  /** Δ(3-3)/Δ(6-6), or Δ(4-4)/Δ(6-6) named so; Fieller interval. */
  frontToBack: given(z.strictObject({ of: z.enum(["3-3 : 6-6", "4-4 : 6-6"]), ratio: Interval })),
  /** Where the fitted line reaches zero, mm behind the canines' station; 'of the fitted line, not a centre in the bone'. */
  hinge: given(Interval),
  /** Fitted line and its 95 % band, ready to draw: [station, change, low, high]. */
  band: z.array(z.tuple([z.number(), z.number(), z.number(), z.number()])),
  chiSquare: z.number(),
  degreesOfFreedom: z.number().int(),
  /** True where χ² exceeded its 95 % point and the band was widened. */
  widened: z.boolean(),
  delta: z.number(),
});
export type PatternReading = z.infer<typeof PatternReading>;

/** What was registered: parts of the palate; where there is none, crowns. */
export const RegisteredPart = z.enum([
  "whole-palate",
  "right-palate",
  "left-palate",
  "all-crowns",
  "right-group-of-crowns",
  "left-group-of-crowns",
]);

/** How the after scan was laid on the before scan for overlay and distance map. */
export const RegistrationReading = z.strictObject({
  region: RegisteredPart,
  label: z.string(),
  /** Row-major 3×3 and shift, mm: after file coordinates → before file coordinates. */
  rotation: z.array(z.number()).length(9),
  translation: z.array(z.number()).length(3),
  iterations: z.number().int(),
  points: z.number().int(),
  rms: z.number(),
  inlierShare: z.number(),
  condition: z.number(),
  /** A plain sentence about its quality. */
  sentence: z.string(),
});
export type RegistrationReading = z.infer<typeof RegistrationReading>;

/**
 * The left half of the palate against the right, from the registrations of both: in the before scan's arch frame.
 * Openings are those of the palatal surface at the median plane; positive: apart. Without a palate the same of the two
 * groups of crowns, at the height of their middle.
 */
export const HalvesReading = z.strictObject({
  of: z.enum(["palate", "crowns"]),
  /** What it is and is not. */
  label: z.string(),
  /** By the rule of the pattern, fitted at the two stations. */
  verdict: Verdict,
  because: z.string(),
  /** M = T_right⁻¹ · T_left, row-major 3×3 and shift, mm. */
  rotation: z.array(z.number()).length(9),
  translation: z.array(z.number()).length(3),
  /** Opening at the canines' and at the first molars' station, mm. */
  atCanines: Quantity,
  atMolars: Quantity,
  /** What stands there: 'the canines', or the pair used instead. */
  places: z.strictObject({ canines: z.string(), molars: z.string() }),
  /** mm behind the canines. */
  stations: z.strictObject({ canines: z.number(), molars: z.number() }),
  /** Height of the palatal surface at these stations above the occlusal plane, mm. */
  heights: z.strictObject({ canines: z.number(), molars: z.number() }),
  /** atCanines − atMolars, mm, 95 % and 90 % intervals. */
  difference: Interval,
  difference90: Interval,
  /** +ω_z, degrees, positive: wider in front. */
  openingAngle: Quantity,
  /** −ω_y, degrees, positive: crowns apart more than the vault. */
  roll: Quantity,
  /** ω_x, degrees, positive: the front of the left half moving away from the head. */
  pitch: Quantity,
  /** Shift of the left half against the right between the two stations, mm: forwards, and towards occlusal. */
  forwardShift: Quantity,
  occlusalShift: Quantity,
  /** The whole turn about the screw axis, degrees. */
  turn: Quantity,
  /** The screw axis where it passes through the occlusal plane, mm; its unit direction; shift along it, mm. */
  axis: given(
    z.strictObject({
      behindCanines: Interval,
      /** From the median plane, positive to the patient's left. */
      toLeft: Interval,
      direction: z.array(z.number()).length(3),
      shiftAlong: z.number(),
    }),
  ),
  delta: z.number(),
});
export type HalvesReading = z.infer<typeof HalvesReading>;

/** A crown's rigid motion against something else, in its own directions on the before scan; degrees and mm. */
export const CrownMotion = z.strictObject({
  /** Occlusal end towards the cheek positive. */
  buccalTipping: Quantity,
  /** Occlusal end towards the midline positive. */
  mesialTipping: Quantity,
  /** About the long axis; mesial side towards the cheek positive. */
  turning: Quantity,
  /** Shift of the crown's middle. */
  buccalShift: Quantity,
  mesialShift: Quantity,
  occlusalShift: Quantity,
});
export type CrownMotion = z.infer<typeof CrownMotion>;

/** Movement of the palatal cusp (molars: mesiopalatal) to occlusal, mm; may open the bite. */
export const PalatalCuspDrop = z.strictObject({
  againstHalf: Quantity,
  /** Against the buccal cusp of the same crown; null where that is not marked. */
  againstBuccalCusp: Quantity.nullable(),
});
export type PalatalCuspDrop = z.infer<typeof PalatalCuspDrop>;

/** One crown registered to itself. */
export const CrownReading = z.strictObject({
  tooth: z.number().int(),
  againstHalf: given(CrownMotion),
  /** Against the whole palate, which shares the opening about evenly. */
  againstArch: given(CrownMotion),
  /** null where the tooth has no palatal cusp or none is marked. */
  palatalCuspDrop: given(PalatalCuspDrop).nullable(),
  /** Row-major 3×3 and shift, mm: before → after file coordinates. */
  rotation: z.array(z.number()).length(9),
  translation: z.array(z.number()).length(3),
  rms: z.number(),
  inlierShare: z.number(),
  overlap: z.number(),
  condition: z.number(),
  /** Registered surface, mm². */
  area: z.number(),
});
export type CrownReading = z.infer<typeof CrownReading>;

/** Signed distances in a few figures, mm. */
const DISTANCE_FIGURES = {
  mean: z.number(),
  rms: z.number(),
  percentile5: z.number(),
  percentile95: z.number(),
  /** 1.4826 · median of |d − median|. */
  robustScale: z.number(),
};

/** Signed distance of the after scan to the before scan under a registration. */
export const DistanceSummary = z.strictObject({
  registration: RegisteredPart,
  ...DISTANCE_FIGURES,
  /** Share of the after scan's vertices that have a value. */
  valued: z.number(),
  /** Vertices in equal classes from −limit to +limit, mm, and those beyond. */
  histogram: z.strictObject({
    limit: z.number(),
    counts: z.array(z.number().int()),
    below: z.number().int(),
    above: z.number().int(),
  }),
  /** The same over the painted reference, of the timepoint it is painted on; null where none is painted or has a value. */
  painted: z.strictObject({ on: z.string(), ...DISTANCE_FIGURES }).nullable(),
});
export type DistanceSummary = z.infer<typeof DistanceSummary>;

/** What the user should know although measuring went on. */
export const Warning = z.strictObject({ code: z.string(), timepoint: z.string().nullable(), text: z.string() });
export type Warning = z.infer<typeof Warning>;

/** A landmark as it was placed and as it was used, mm in file coordinates × unit. */
export const UsedLandmark = z.strictObject({
  timepoint: z.string(),
  tooth: z.number().int().nullable(),
  place: z.string(),
  placed: z.tuple([z.number(), z.number(), z.number()]),
  used: z.tuple([z.number(), z.number(), z.number()]),
  /** How `used` came about; a carried point was placed on another scan. */
  how: z.enum([
    "as-placed",
    "snapped-to-highest",
    "snapped-to-deepest",
    "snapped-to-margin",
    "dropped-to-surface",
    "carried",
  ]),
  /** The timepoint whose scan it was placed on. */
  placedOn: z.string(),
  /** Where the same spot placed on the earlier scan lies on this one by the registration; null where not known. */
  carried: z.tuple([z.number(), z.number(), z.number()]).nullable(),
});
export type UsedLandmark = z.infer<typeof UsedLandmark>;

export const ScanReading = z.strictObject({
  timepoint: z.string(),
  /** First 12 hex digits of the file's SHA-256. */
  sha256: z.string(),
  format: z.string(),
  triangles: z.number().int(),
  vertices: z.number().int(),
  unit: z.enum(["mm", "cm", "m", "inch"]),
});
export type ScanReading = z.infer<typeof ScanReading>;

export const Readings = z.strictObject({
  version: z.literal(1),
  software: z.strictObject({ name: z.literal("Raphe"), version: z.string() }),
  /** True for the samples: printed on every page. */
  invented: z.boolean(),
  span: z.strictObject({ from: z.string(), to: z.string(), words: z.enum(["expansion", "retention"]) }),
  scans: z.array(ScanReading),
  assumptions: z.strictObject({
    /** u of a width from points placed by hand, mm. */
    pointWidth: z.number(),
    scannerAtCanines: z.number(),
    scannerAtMolars: z.number(),
    scannerLocal: z.number(),
    delta: z.number(),
  }),
  frames: z.array(
    z.strictObject({
      timepoint: z.string(),
      label: z.string(),
      rotation: z.array(z.number()).length(9),
      translation: z.array(z.number()).length(3),
    }),
  ),
  widths: z.array(WidthReading),
  patterns: z.array(given(PatternReading)),
  /** The sentence at the top of the sheet; parts marked strong are set in the heavier weight. */
  headline: z.array(z.strictObject({ text: z.string(), strong: z.boolean() })),
  /** The quiet sentence under it. */
  because: z.string(),
  registrations: z.array(given(RegistrationReading)),
  halves: given(HalvesReading),
  crowns: z.array(z.strictObject({ tooth: z.number().int(), motion: given(CrownReading) })),
  /** Change of the angle between the crowns of a pair of molars, both sides together, degrees; positive: to the cheek. */
  crownPairs: z.array(z.strictObject({ pair: z.string(), angle: Quantity })),
  tipping: z.array(TippingReading),
  /** null: nothing of the screw is recorded. */
  screw: ScrewReading.nullable(),
  /** null: the span is no time in retention. */
  retention: RetentionReading.nullable(),
  /** null: no lower arch and no bite is recorded. */
  need: NeedReading.nullable(),
  /** The arch and the palate on each scan by itself. */
  arch: ArchReadings,
  /** null: no landmark was placed twice by the examiner. */
  repeats: RepeatReadings.nullable(),
  /** null: no age can be told. */
  growth: GrowthReading.nullable(),
  distance: given(DistanceSummary),
  landmarks: z.array(UsedLandmark),
  warnings: z.array(Warning),
  /** How many readings were asked (their landmarks stand on at least one scan), and how many were made. */
  asked: z.number().int(),
  made: z.number().int(),
  cautions: z.array(z.string()),
});
export type Readings = z.infer<typeof Readings>;
