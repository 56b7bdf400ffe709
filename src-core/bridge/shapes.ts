import { z } from "zod";
import type { ErrorCode, ErrorParts } from "../errors";

// A record, so that the compiler misses no code.
const errorCodes: Record<ErrorCode, ErrorCode> = {
  "file-missing": "file-missing",
  "not-a-file": "not-a-file",
  "not-readable": "not-readable",
  "empty-file": "empty-file",
  "unknown-format": "unknown-format",
  truncated: "truncated",
  malformed: "malformed",
  "point-cloud": "point-cloud",
  "no-triangles": "no-triangles",
  "not-finite": "not-finite",
  "too-large": "too-large",
  "implausible-size": "implausible-size",
  "case-malformed": "case-malformed",
  "marks-malformed": "marks-malformed",
  "marks-missing-scan": "marks-missing-scan",
  "landmark-missing": "landmark-missing",
  "landmark-off-surface": "landmark-off-surface",
  "right-and-left": "right-and-left",
  "frame-degenerate": "frame-degenerate",
  "too-few-points": "too-few-points",
  "no-region-fits": "no-region-fits",
  "fit-unstable": "fit-unstable",
  masked: "masked",
  "not-computable": "not-computable",
  cancelled: "cancelled",
  "bad-request": "bad-request",
  "not-writable": "not-writable",
  internal: "internal",
};

/** A typed error as it crosses the border between main and page. */
export const errorPartsSchema = z.strictObject({
  code: z.enum(errorCodes),
  subject: z.string(),
  problem: z.string(),
  where: z.string().exactOptional(),
  remedy: z.string(),
}) satisfies z.ZodType<ErrorParts>;

/** A random name of one chosen file: 32 bytes in hexadecimal. It says nothing of where the file lies. */
export const tokenSchema = z.string().regex(/^[0-9a-f]{64}$/);

/** A file that the user chose: the page may stream it by its token; `name` is its base name, for display only. */
export const fileTicketSchema = z.strictObject({
  token: tokenSchema,
  name: z.string(),
  /** bytes */
  size: z.number().int().nonnegative(),
});
export type FileTicket = z.infer<typeof fileTicketSchema>;

/** What came of files that were chosen, dropped or named on the command line: each is a ticket or a typed error. */
export const fileOfferSchema = z.strictObject({
  tickets: z.array(fileTicketSchema),
  refused: z.array(errorPartsSchema),
});
export type FileOffer = z.infer<typeof fileOfferSchema>;

/** An answer to something that the page asked. */
export type Answer<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly error: ErrorParts };
