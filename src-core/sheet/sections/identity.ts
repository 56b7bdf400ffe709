import { ageInMonths, ageText } from "../../case/age";
import { dateText, daysBetween, fixed } from "../format";
import type { FactsBlock, Section } from "../sheet";
import { comparedTimepoints, type SheetContext } from "./context";
import { endsText, screwText } from "./screw";
import { visitFacts } from "./visits";

export const SHEET_TITLE = "Measurement of jaw expansion";
export const INVENTED = "invented sample, no patient";

type Fact = FactsBlock["facts"][number];

/** Who and when, without a name: case, birth, dates of the scans and age then, examiner, expander, what was seen. */
export function identitySection(context: SheetContext): Section {
  const { identity } = context.document;
  const { from, to } = comparedTimepoints(context);
  const { span } = context.readings;
  const date = (t: typeof from) => (t?.date == null ? "date not stated" : dateText(t.date));
  const age = (t: typeof from) => {
    const months = ageInMonths(identity, t?.date ?? null);
    return months === null ? null : `age ${ageText(months)}`;
  };
  const days = from?.date != null && to?.date != null ? daysBetween(from.date, to.date) : null;
  const facts: Fact[] = [
    { label: "case", value: identity.pseudonym === "" ? "not named" : identity.pseudonym },
    ...(identity.recordNumber === "" ? [] : [{ label: "record", value: identity.recordNumber }]),
    { label: "born", value: bornText(identity) },
    { label: span.from, value: date(from), ...remarkOf([age(from)]) },
    {
      label: span.to,
      value: date(to),
      ...remarkOf([days === null ? null : `${days} ${Math.abs(days) === 1 ? "day" : "days"}`, age(to)]),
    },
    { label: "examiner", value: identity.examiner === "" ? "not stated" : identity.examiner },
  ];
  const visits = visitFacts(context);
  return {
    id: "identity",
    blocks: [
      { kind: "title", text: SHEET_TITLE, remark: context.readings.invented ? INVENTED : "" },
      { kind: "facts", facts },
      { kind: "facts", facts: expanderFacts(context) },
      ...(visits.length === 0 ? [] : [{ kind: "facts" as const, facts: visits }]),
    ],
  };
}

const bornText = ({ birthYear, birthMonth }: SheetContext["document"]["identity"]): string =>
  birthYear === null
    ? "not stated"
    : birthMonth === null
      ? String(birthYear)
      : `${birthYear}-${String(birthMonth).padStart(2, "0")}`;

/** What is known of a date, in brackets behind it. */
function remarkOf(parts: readonly (string | null)[]): { remark?: string } {
  const known = parts.filter((part) => part !== null);
  return known.length === 0 ? {} : { remark: `(${known.join(", ")})` };
}

function expanderFacts({ document, readings: { screw } }: SheetContext): Fact[] {
  const { kind, millimetresPerTurn, millimetresPerTurnAtEnds, turnsOpenAtFitting } = document.identity.expander;
  const perTurn =
    millimetresPerTurnAtEnds !== null
      ? endsText(millimetresPerTurnAtEnds, 2)
      : millimetresPerTurn === null
        ? null
        : `${fixed(millimetresPerTurn, 2)}\u00a0mm`;
  const facts: Fact[] = [{ label: "expander", value: kind }];
  if (screw !== null && screw.phases.length > 0) {
    facts.push({
      label: "turns",
      value: perTurn === null ? String(screw.netTurns) : `${screw.netTurns} of ${perTurn}`,
    });
  } else if (perTurn !== null) {
    facts.push({ label: "per turn", value: perTurn });
  }
  if (screw?.delivered.state === "given" && screw.phases.length > 0) {
    facts.push({ label: "delivered by the screw", value: screwText(screw.delivered.reading, screw.fan) });
  }
  if (turnsOpenAtFitting !== null) {
    facts.push({
      label: "opened before fitting",
      value: `${turnsOpenAtFitting} ${turnsOpenAtFitting === 1 ? "turn" : "turns"}`,
    });
  }
  return facts;
}
