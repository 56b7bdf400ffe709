import type { ErrorParts } from "#core/errors";
import type { JobAnswer, JobName, JobRequest } from "#core/jobs/job-list";

/** What crosses between the page and its worker. */

/** One job for the worker. `cancel` holds one 32-bit flag: anything but 0 means that the work is no longer wanted. */
export type JobOrder = {
  [Name in JobName]: {
    readonly id: number;
    readonly name: Name;
    readonly request: JobRequest<Name>;
    readonly cancel: SharedArrayBuffer;
  };
}[JobName];

/** What the worker says about a job: any number of progress notes, then one answer or one error. */
export type JobNews =
  | { readonly id: number; readonly kind: "progress"; readonly share: number; readonly doing: string | null }
  | { readonly id: number; readonly kind: "answer"; readonly answer: JobAnswer<JobName> }
  | { readonly id: number; readonly kind: "error"; readonly error: ErrorParts };
