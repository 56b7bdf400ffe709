/** What can go wrong, by kind; a code never changes its meaning between versions. */
export type ErrorCode =
  // reading a scan
  | "file-missing"
  | "not-a-file"
  | "not-readable"
  | "empty-file"
  | "unknown-format"
  | "truncated"
  | "malformed"
  | "point-cloud"
  | "no-triangles"
  | "not-finite"
  | "too-large"
  | "implausible-size"
  // landmarks and frame
  | "case-malformed"
  | "marks-malformed"
  | "marks-missing-scan"
  | "landmark-missing"
  | "landmark-off-surface"
  | "right-and-left"
  | "frame-degenerate"
  // registration and readings
  | "too-few-points"
  | "no-region-fits"
  | "fit-unstable"
  | "masked"
  | "not-computable"
  // work
  | "cancelled"
  | "bad-request"
  | "not-writable"
  | "internal";

/** The parts of a typed error. */
export interface ErrorParts {
  readonly code: ErrorCode;
  /** The file or scan it is about, as the user knows it; empty where none is meant. */
  readonly subject: string;
  /** What is wrong, one sentence without the subject. */
  readonly problem: string;
  /** Where in the file or on the arch ('byte 84', 'line 12', 'tooth 16'), if that can be said. */
  readonly where?: string;
  /** What the user can do about it, one sentence. */
  readonly remedy: string;
}

/** Every error that reaches a user. Its message reads: subject: problem (where). remedy */
export class RapheError extends Error implements ErrorParts {
  override readonly name = "RapheError";
  readonly code: ErrorCode;
  readonly subject: string;
  readonly problem: string;
  readonly where?: string;
  readonly remedy: string;

  constructor(parts: ErrorParts) {
    super(sentence(parts));
    this.code = parts.code;
    this.subject = parts.subject;
    this.problem = parts.problem;
    if (parts.where !== undefined) this.where = parts.where;
    this.remedy = parts.remedy;
  }

  /** The parts as a plain object, as they cross a thread or process border. */
  parts(): ErrorParts {
    return {
      code: this.code,
      subject: this.subject,
      problem: this.problem,
      ...(this.where === undefined ? {} : { where: this.where }),
      remedy: this.remedy,
    };
  }
}

/** One readable line from the parts of an error. */
export function sentence(parts: ErrorParts): string {
  const head = parts.subject === "" ? "" : `${parts.subject}: `;
  const place = parts.where === undefined ? "" : ` (${parts.where})`;
  return `${head}${parts.problem}${place}. ${parts.remedy}`;
}

/** Any thrown value as error parts; what is not a RapheError is an internal one and keeps its message. */
export function errorParts(thrown: unknown, subject = ""): ErrorParts {
  if (thrown instanceof RapheError) return thrown.parts();
  return {
    code: "internal",
    subject,
    problem: `an unexpected error: ${thrown instanceof Error ? thrown.message : String(thrown)}`,
    remedy: "Nothing that was entered is lost; try again, and keep this message if it returns",
  };
}
