import { z } from "zod";
import { IsoDate } from "./iso-date";

/** A stretch of turning in the mouth in one direction. */
export const TurningPhase = z.object({
  direction: z.enum(["opening", "closing"]),
  turns: z.number().int().nonnegative(),
  from: IsoDate.nullable(),
  to: IsoDate.nullable(),
});
export type TurningPhase = z.infer<typeof TurningPhase>;

/** The expander and what was done with it; lengths mm. */
export const Expander = z.object({
  kind: z.enum(["not stated", "tooth-borne", "miniscrew-carried", "surgically assisted"]),
  /** In the practice's own words. */
  description: z.string(),
  millimetresPerTurn: z.number().positive().nullable(),
  /** Screws that open as a fan: mm per turn at their front and at their back end; null for all others. */
  millimetresPerTurnAtEnds: z.object({ front: z.number().nonnegative(), back: z.number().nonnegative() }).nullable(),
  /** The screw's whole travel, mm. */
  capacity: z.number().positive().nullable(),
  /** Turns it was opened with before it was fitted: they opened nothing in the patient. */
  turnsOpenAtFitting: z.number().int().nonnegative().nullable(),
  /** In the order of time; empty: no turns are recorded. */
  phases: z.array(TurningPhase),
});
export type Expander = z.infer<typeof Expander>;

/** An expander of which nothing is stated. */
export const UNSTATED_EXPANDER: Expander = {
  kind: "not stated",
  description: "",
  millimetresPerTurn: null,
  millimetresPerTurnAtEnds: null,
  capacity: null,
  turnsOpenAtFitting: null,
  phases: [],
};

/** Opening less closing turns made in the mouth; null where none are recorded. */
export const netTurns = ({ phases }: Pick<Expander, "phases">): number | null =>
  phases.length === 0 ? null : turnsOf(phases);

/** Opening less closing turns of some phases. */
export const turnsOf = (phases: readonly TurningPhase[]): number =>
  phases.reduce((sum, { direction, turns }) => sum + (direction === "opening" ? turns : -turns), 0);
