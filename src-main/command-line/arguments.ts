import { parseArgs } from "node:util";
import { RapheError } from "#core/errors";
import { Unit } from "#core/scan/unit";

export const USAGE = `raphe measure --case CASE --out FOLDER [options]
raphe measure BEFORE AFTER --landmarks MARKS --out FOLDER [options]

Measures what an upper jaw expansion did between arch scans (STL, PLY or OBJ).

With --case every scan of the case is measured against the first and against the one before it: each pair gets a folder
of its own in FOLDER (before-to-after) with sheet.pdf, readings.json, readings.csv, marks.json and pictures; all.csv
beside them has all readings. The short form measures two scans and writes the same files into FOLDER itself.

  --case FILE          the case: identity, expander, plan, scans and landmarks (schemas/case.schema.json);
                       paths in it are relative to it
  --landmarks FILE     short form: landmarks of both scans (schemas/marks.schema.json)
  --out FOLDER         where the record goes; it is made, and must not hold an earlier one
  --scanner A,B,C      scanner's standard uncertainty in mm at canines, first molars, locally (0.05,0.12,0.02)
  --issued-at TIME     time printed on the sheet, ISO 8601 (the clock of this PC)

Only with the short form, since a case says it itself:
  --from NAME          name of the first scan's timepoint in MARKS (before)
  --to NAME            name of the second scan's timepoint in MARKS (after)
  --unit NAME=UNIT     unit of a scan's numbers: mm (default), cm, m or inch; may be repeated
  --pseudonym CODE     the practice's code for the case, printed on the sheet; never a name
  --from-date, --to-date DATE   dates of the scans, year-month-day
  --invented           the scans are invented: said on every page

Exit code 0: every asked reading was made. 1: some were not, each with its reason. 2: nothing could be measured.
A tooth that is not there is not a failure.
`;

export interface ScannerFigures {
  readonly atCanines: number;
  readonly atMolars: number;
  readonly local: number;
}

/** The two scans of the short form. */
export interface TwoScans {
  readonly before: string;
  readonly after: string;
  readonly landmarks: string;
  readonly from: string;
  readonly to: string;
  readonly units: Readonly<Record<string, Unit>>;
  readonly pseudonym: string;
  readonly fromDate: string | null;
  readonly toDate: string | null;
  readonly invented: boolean;
}

/** What `raphe measure` was asked to do. */
export interface MeasureCommand {
  /** The path of a case file, or two scans. */
  readonly subject: { readonly caseFile: string } | TwoScans;
  readonly out: string;
  /** In place of the case's or the default figures. */
  readonly scanner: ScannerFigures | null;
  readonly issuedAt: string;
}

function wrong(problem: string, remedy = "See raphe --help"): RapheError {
  return new RapheError({ code: "bad-request", subject: "raphe measure", problem, remedy });
}

function unitsOf(list: readonly string[], names: readonly string[]): Record<string, Unit> {
  const units: Record<string, Unit> = {};
  for (const entry of list) {
    const cut = entry.lastIndexOf("=");
    const name = entry.slice(0, cut);
    const unit = Unit.safeParse(entry.slice(cut + 1));
    if (cut < 1 || !unit.success) throw wrong(`--unit ${entry} is not NAME=UNIT`, "Write for example --unit before=cm");
    if (!names.includes(name)) throw wrong(`--unit ${entry} names no scan`, `The scans are ${names.join(" and ")}`);
    units[name] = unit.data;
  }
  return units;
}

function scannerOf(text: string): ScannerFigures {
  const numbers = text.split(",").map(Number);
  const [atCanines, atMolars, local] = numbers;
  if (numbers.length !== 3 || numbers.some((n) => !Number.isFinite(n) || n < 0)) {
    throw wrong(`--scanner ${text} is not three numbers in mm`, "Write for example --scanner 0.05,0.12,0.02");
  }
  return { atCanines: atCanines!, atMolars: atMolars!, local: local! };
}

function dateOf(text: string | undefined, option: string): string | null {
  if (text === undefined) return null;
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text))
    throw wrong(`${option} ${text} is not a date`, "Write year-month-day, e.g. 2026-03-03");
  return text;
}

/**
 * Reads the arguments after `raphe measure`.
 * @param now ISO 8601 time to print where none is given
 * @throws RapheError `bad-request`
 */
export function readArguments(argv: readonly string[], now: string): MeasureCommand {
  let parsed: Parsed;
  try {
    parsed = parse(argv);
  } catch (thrown) {
    throw wrong(thrown instanceof Error ? thrown.message : String(thrown));
  }
  const { values } = parsed;
  const subject = values.case === undefined ? twoScans(parsed) : { caseFile: caseFile(parsed) };
  if (values.out === undefined) throw wrong("--out is missing");
  const issuedAt = values["issued-at"] ?? now;
  if (!/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2})?(\.\d+)?(Z|[+-]\d{2}:\d{2})?$/.test(issuedAt)) {
    throw wrong(`--issued-at ${issuedAt} is not a time`, "Write for example 2026-11-25T10:42:00Z");
  }
  return {
    subject,
    out: values.out,
    scanner: values.scanner === undefined ? null : scannerOf(values.scanner),
    issuedAt,
  };
}

/** What a case says itself is not said again beside it. */
const SHORT_FORM_ONLY = ["landmarks", "from", "to", "unit", "pseudonym", "from-date", "to-date", "invented"] as const;

function caseFile({ values, positionals }: Parsed): string {
  if (positionals.length > 0) {
    throw wrong(`--case names its scans itself, and ${positionals[0]} was given beside it`, "Give one or the other");
  }
  const doubled = SHORT_FORM_ONLY.find((option) => values[option] !== undefined);
  if (doubled !== undefined) throw wrong(`--${doubled} does not go with --case`, "Write it in the case file");
  return values.case!;
}

function twoScans({ values, positionals }: Parsed): TwoScans {
  const [before, after] = positionals;
  if (before === undefined || after === undefined || positionals.length !== 2) {
    throw wrong(`two scans or --case are needed, ${positionals.length} were given`);
  }
  if (values.landmarks === undefined) throw wrong("--landmarks is missing");
  const from = values.from ?? "before";
  const to = values.to ?? "after";
  if (from === to) throw wrong("--from and --to name the same timepoint");
  return {
    before,
    after,
    landmarks: values.landmarks,
    from,
    to,
    units: unitsOf(values.unit ?? [], [from, to]),
    pseudonym: values.pseudonym ?? "",
    fromDate: dateOf(values["from-date"], "--from-date"),
    toDate: dateOf(values["to-date"], "--to-date"),
    invented: values.invented ?? false,
  };
}

type Parsed = ReturnType<typeof parse>;

function parse(argv: readonly string[]) {
  return parseArgs({
    args: [...argv],
    allowPositionals: true,
    options: {
      case: { type: "string" },
      landmarks: { type: "string" },
      out: { type: "string" },
      from: { type: "string" },
      to: { type: "string" },
      unit: { type: "string", multiple: true },
      scanner: { type: "string" },
      pseudonym: { type: "string" },
      "from-date": { type: "string" },
      "to-date": { type: "string" },
      "issued-at": { type: "string" },
      invented: { type: "boolean" },
    },
  });
}
