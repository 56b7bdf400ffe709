import { z } from "zod";
import { SCAN_FORMATS } from "./scan-content";
import { Unit } from "./unit";

const count = z.number().int().nonnegative();
const length = z.number().nonnegative();

/** What was found in a scan file and what was done with it, for a clinician to read; stored with the case. */
export const IntakeReport = z.object({
  schema: z.literal(1),
  format: z.enum(SCAN_FORMATS),
  fileBytes: count,
  /** SHA-256 of the file, 64 hex digits. */
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
  unit: Unit,
  /** Asked where the size is not that of an arch. */
  unitQuestion: z
    .object({
      largestExtent: length,
      proposals: z.array(z.object({ unit: Unit, largestExtent: length })),
      text: z.string(),
    })
    .nullable(),
  triangles: z.object({
    inFile: count,
    used: count,
    /** Without area. */
    degenerate: count,
    duplicate: count,
    /** In fragments that float beside the arch. */
    setAside: count,
  }),
  vertices: z.object({
    inFile: count,
    used: count,
    /** In the file, but part of no triangle. */
    unreferenced: count,
  }),
  /** Connected pieces: all, those measured on, and floating fragments set aside. */
  components: z.object({ all: count, main: count, fragments: count }),
  /** Of the measured part: openings in the surface, without the outer border of each component (its longest). */
  holes: count,
  /** Of the measured part: the longest border walk, mm; 0 where the surface is closed. */
  outerBorderLength: length,
  /** Of the measured part, mm. */
  edgeLength: z.object({ mean: length, median: length }),
  /** Of the measured part, mm². */
  area: length,
  trianglesPerSquareMillimetre: length,
  /** Of the measured part along the file's x, y and z, mm. */
  extents: z.tuple([length, length, length]),
  /** Edges where more than two triangles meet. */
  nonManifoldEdges: count,
  winding: z.object({
    /** Which side most of the surface called outside. Inside out may mean a mirrored scan. */
    inFile: z.enum(["outward", "inward", "unclear"]),
    /** Triangles that were wound against their neighbours and were turned over. */
    turned: count,
    /** The whole surface was inside out and was turned over. */
    turnedWhole: z.boolean(),
  }),
  coloured: z.boolean(),
  /** Header and comment texts of the file. They may hold names: for the screen only, never for an export. */
  notes: z.array(z.string()),
  /** What the user should know, each one sentence. */
  warnings: z.array(z.string()),
});
export type IntakeReport = z.infer<typeof IntakeReport>;
