import { z } from "zod";
import { CaseDescription } from "../case/case-description";
import { bitBytes } from "../mesh/painted-triangles";
import { MAX_PAINTED_TRIANGLES } from "../scan/painted-file";
import { fileOfferSchema, fileTicketSchema, tokenSchema } from "./shapes";

/** Largest landmark file and case document that cross as text: 8 MiB of characters. */
export const MAX_TEXT_LENGTH = 8 * 1024 * 1024;
/** Largest exported sheet, all files together, in bytes. */
export const MAX_EXPORT_BYTES = 256 * 1024 * 1024;

// Names that are safe on every file system: no separators, no leading or trailing dot, no reserved device name.
const PLAIN_NAME = /^(?!(?:con|prn|aux|nul|com\d|lpt\d)(?:\.|$))[a-z0-9](?:[a-z0-9._-]{0,78}[a-z0-9])?$/i;

/** A file name without any path in it. */
export const plainNameSchema = z.string().regex(PLAIN_NAME);

/** ISO 8601 calendar date, yyyy-mm-dd. */
export const dateSchema = z.iso.date();

// Not z.instanceof, whose type would ask for bytes in unshared memory.
const bytesSchema = z.custom<Uint8Array>((value) => value instanceof Uint8Array);

const caseTextSchema = z.string().min(1).max(MAX_TEXT_LENGTH);
/** How the case document names one of its scans; main only hands it back. */
const scanKeySchema = z.string().min(1).max(200);

/** One sample case that the first screen offers. */
export const sampleCaseSchema = z.strictObject({ id: z.string(), title: z.string() });
export type SampleCase = z.infer<typeof sampleCaseSchema>;

/** What the page needs to draw its first screen. */
export const startInfoSchema = z.strictObject({
  version: z.string(),
  /** True on the runtime that is for tests only: the page then shows 'test runtime: invented data only'. */
  testRuntime: z.boolean(),
  /** Files named on the command line, or opened by the system before the page was there. */
  invited: fileOfferSchema,
  sampleCases: z.array(sampleCaseSchema),
});
export type StartInfo = z.infer<typeof startInfoSchema>;

/** A sample case, opened: its description and the files that it names. All of it is invented. */
export const openedSampleSchema = z.strictObject({
  id: z.string(),
  description: CaseDescription,
  /** Its scans by their path in the description. */
  scans: z.array(z.strictObject({ path: z.string(), ticket: fileTicketSchema })),
  /** Texts of its landmark files. */
  marks: z.array(z.strictObject({ path: z.string(), text: z.string() })),
});
export type OpenedSample = z.infer<typeof openedSampleSchema>;

/** A landmark file as the user chose it. */
export const marksFileSchema = z.strictObject({ name: z.string(), text: z.string() });
export type MarksFile = z.infer<typeof marksFileSchema>;

/** The sheet and what goes with it, to be written into one new folder. */
export const exportRequestSchema = z.strictObject({
  /** Pseudonym of the case; letters, digits and hyphens of it go into the folder's name. Never a patient's name. */
  pseudonym: z.string().max(200),
  /** Date of the sheet, for the folder's name. */
  date: dateSchema,
  files: z
    .array(z.strictObject({ name: plainNameSchema, bytes: bytesSchema }))
    .min(1)
    .max(200)
    .refine((files) => new Set(files.map((file) => file.name.toLowerCase())).size === files.length)
    .refine((files) => files.reduce((sum, file) => sum + file.bytes.byteLength, 0) <= MAX_EXPORT_BYTES),
});
export type ExportRequest = z.infer<typeof exportRequestSchema>;

/** Where an export went: the new folder's own name and its parent's name, for display. */
export const exportedSchema = z.strictObject({ folder: z.string(), parent: z.string() });
export type Exported = z.infer<typeof exportedSchema>;

const sha256Schema = z.string().regex(/^[0-9a-f]{64}$/);

/** A painted area as the case names it. */
export const paintedAreaSchema = z.strictObject({
  sha256: sha256Schema,
  triangles: z.number().int().positive().max(MAX_PAINTED_TRIANGLES),
});

/** A painted area with its bits, one for each triangle of the scan's file. */
export const paintedRequestSchema = paintedAreaSchema
  .extend({ bits: bytesSchema })
  .refine(({ triangles, bits }) => bits.length === bitBytes(triangles));
export type PaintedRequest = z.infer<typeof paintedRequestSchema>;

/** The case as it stands, to be found again after a crash or restart. */
export const draftRequestSchema = z.strictObject({
  /** Tells one case from another: the last draft of another case is kept aside, never overwritten. */
  caseId: z.string().min(1).max(200),
  text: caseTextSchema,
  /** The scans of the case with the tickets they came by; main keeps where the files lie. */
  scans: z.array(z.strictObject({ key: scanKeySchema, token: tokenSchema })).max(200),
  /** Hashes of the painted areas that the case names: it is only saved once their bits are. */
  painted: z.array(sha256Schema).max(1000),
});
export type DraftRequest = z.infer<typeof draftRequestSchema>;

/** A draft found at start, with new tickets for its scans where they are still there. */
export const loadedDraftSchema = z.strictObject({
  caseId: z.string(),
  text: z.string(),
  scans: z.array(z.strictObject({ key: z.string(), ticket: fileTicketSchema })),
  /** Scans of the draft that cannot be opened now, each with its typed error. */
  lost: z.array(z.strictObject({ key: z.string(), error: fileOfferSchema.shape.refused.element })),
  /** True where the newest draft was unreadable (it is kept aside) and this is the last good one before it. */
  olderState: z.boolean(),
});
export type LoadedDraft = z.infer<typeof loadedDraftSchema>;

const nothing = z.undefined();

/** What the page can ask of main: the request that is accepted and the value that is answered. */
export const requests = {
  startInfo: { request: nothing, value: startInfoSchema },
  /** Open dialog for scans; nothing chosen gives an empty offer. */
  chooseScans: { request: nothing, value: fileOfferSchema },
  /** Tickets for dropped files; asked by the preload alone, which is the only one to learn their paths. */
  offerDropped: {
    request: z.strictObject({ paths: z.array(z.string().min(1).max(32_768)).max(1000) }),
    value: nothing,
  },
  openSample: { request: z.strictObject({ id: z.string().min(1).max(100) }), value: openedSampleSchema },
  /** Open dialog for a landmark file; null where nothing was chosen. */
  chooseMarks: { request: nothing, value: marksFileSchema.nullable() },
  /** Folder dialog, then a new folder in it; null where no folder was chosen. */
  exportSheet: { request: exportRequestSchema, value: exportedSchema.nullable() },
  saveDraft: { request: draftRequestSchema, value: nothing },
  /** The draft of the last run; null where there is none. */
  loadDraft: { request: nothing, value: loadedDraftSchema.nullable() },
  /** Keeps the bits of a painted area beside the draft. */
  savePainted: { request: paintedRequestSchema, value: nothing },
  loadPainted: { request: paintedAreaSchema, value: bytesSchema },
  /** SHA-256 of a chosen file, 64 hexadecimal digits. */
  fileDigest: { request: z.strictObject({ token: tokenSchema }), value: sha256Schema },
  /** The page has handed over what it had to save: its window may close. */
  handedOver: { request: nothing, value: nothing },
} as const;

export type RequestName = keyof typeof requests;
export type RequestOf<N extends RequestName> = z.infer<(typeof requests)[N]["request"]>;
export type ValueOf<N extends RequestName> = z.infer<(typeof requests)[N]["value"]>;
