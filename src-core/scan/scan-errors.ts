import { type ErrorCode, RapheError } from "../errors";
import { grouped } from "../grouped";

/** What the user can do about each kind of unreadable scan. */
const REMEDIES = {
  "empty-file": "Export the scan again; this file holds nothing",
  "unknown-format": "Choose a surface scan as STL, PLY or OBJ",
  truncated: "The end is missing: copy or export the file again",
  malformed: "Export the scan again from the scanner's software",
  "point-cloud": "Export the scan as a surface (triangles), not as points",
  "no-triangles": "Export the scan again as a surface; this file describes none",
  "not-finite": "Export the scan again; a surface cannot be measured with missing coordinates",
  "too-large": "Export the scan with fewer triangles or split the file",
} as const satisfies Partial<Record<ErrorCode, string>>;

export type ScanErrorCode = keyof typeof REMEDIES;

/** A typed error about a scan file: its code, the file, what is wrong and where. */
export function scanError(code: ScanErrorCode, name: string, problem: string, where?: string): RapheError {
  return new RapheError({
    code,
    subject: name,
    problem,
    ...(where === undefined ? {} : { where }),
    remedy: REMEDIES[code],
  });
}

/** A number with what it counts: '1 byte', '1,234 bytes'. */
export const counted = (count: number, one: string): string => `${grouped(count)} ${one}${count === 1 ? "" : "s"}`;
