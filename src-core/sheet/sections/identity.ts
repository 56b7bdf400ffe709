import { dateText, daysBetween, fixed } from "../format";
import type { FactsBlock, Section } from "../sheet";
import { comparedTimepoints, type SheetContext } from "./context";
import { endsText, screwText } from "./screw";

export const SHEET_TITLE = "Measurement of jaw expansion";
export const INVENTED = "invented sample, no patient";

type Fact = FactsBlock["facts"][number];

/** Who and when, without a name: case, year of birth, dates of the scans, examiner, expander. */
export function identitySection(context: SheetContext): Section {
  const { identity } = context.document;
  const { from, to } = comparedTimepoints(context);
  const { span } = context.readings;
  const date = (t: typeof from) => (t?.date == null ? "date not stated" : dateText(t.date));
  const days = from?.date != null && to?.date != null ? daysBetween(from.date, to.date) : null;
  const facts: Fact[] = [
    { label: "case", value: identity.pseudonym === "" ? "not named" : identity.pseudonym },
    { label: "born", value: identity.birthYear === null ? "not stated" : String(identity.birthYear) },
    { label: span.from, value: date(from) },
    {
      label: span.to,
      value: date(to),
      ...(days === null ? {} : { remark: `(${days} ${Math.abs(days) === 1 ? "day" : "days"})` }),
    },
    { label: "examiner", value: identity.examiner === "" ? "not stated" : identity.examiner },
  ];
  return {
    id: "identity",
    blocks: [
      { kind: "title", text: SHEET_TITLE, remark: context.readings.invented ? INVENTED : "" },
      { kind: "facts", facts },
      { kind: "facts", facts: expanderFacts(context) },
    ],
  };
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
