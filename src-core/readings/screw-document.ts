import { z } from "zod";
import { TurningPhase } from "../case/expander";
import { given, Quantity } from "./quantity";

/** What the expander's screw delivered, beside what was aimed at and what was measured. Lengths mm. */

/** A millimetre figure of the screw: its front and its back end, which differ only in screws that open as a fan. */
const ScrewLength = z.strictObject({ front: z.number(), back: z.number() });
export type ScrewLength = z.infer<typeof ScrewLength>;

/** A place at which the three values stand beside each other, never merged. */
const ScrewPlace = z.strictObject({
  /** '6–6, mesiobuccal cusp tips', 'palatal halves at the canines'. */
  at: z.string(),
  /** The widening aimed at here; null where the plan names another place or none. */
  target: z.number().nullable(),
  /** Which end of a fan screw lies nearest; null for a place between them, and for other screws. */
  end: z.enum(["front", "back"]).nullable(),
  measured: given(Quantity),
});

export const ScrewReading = z.strictObject({
  /** The phases that count for this span, as entered. */
  phases: z.array(TurningPhase),
  /** Phases left out because they lie before the earlier or after the later scan. */
  phasesOutside: z.number().int(),
  /** How many of those that count bear no date. */
  phasesUndated: z.number().int(),
  /** Opening less closing turns, and all turns made, in the phases that count. */
  netTurns: z.number().int(),
  cumulatedTurns: z.number().int(),
  /** True for a screw that opens as a fan: its two ends differ. */
  fan: z.boolean(),
  /** Net turns × mm per turn, made in the mouth between the two scans. */
  delivered: given(ScrewLength),
  /** What it was opened by before it was fitted; that opened nothing in the patient. */
  openedBeforeFitting: given(ScrewLength),
  /** Opened before fitting + all that was delivered in the mouth up to the later scan. */
  opening: given(ScrewLength),
  /** Capacity less the opening, of the end that opens farther. */
  travelLeft: given(z.number()),
  places: z.array(ScrewPlace),
  /** Whether the halves of the palate moved apart at all; null where the screw delivered too little to ask. */
  separation: z
    .strictObject({ verdict: z.enum(["none-detected", "cannot-be-told", "detected"]), sentence: z.string() })
    .nullable(),
  /** What is to be known of the record of turns. */
  remarks: z.array(z.string()),
});
export type ScrewReading = z.infer<typeof ScrewReading>;
