import { z } from "zod";

/** The unit a scan's numbers are in; STL and PLY carry none, so it is stored with the scan. */
export const Unit = z.enum(["mm", "cm", "m", "inch"]);
export type Unit = z.infer<typeof Unit>;

/** Millimetres per unit. */
export const MILLIMETRES: Readonly<Record<Unit, number>> = { mm: 1, cm: 10, m: 1000, inch: 25.4 };
