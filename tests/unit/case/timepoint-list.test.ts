import { describe, expect, test } from "vitest";
import { ageInMonths, ageText } from "#core/case/age";
import { type CaseDocument, emptyCase } from "#core/case/case-document";
import { act, beginHistory, undo } from "#core/case/history";

const names = ({ timepoints }: CaseDocument) => timepoints.map(({ name }) => name);
const three = () =>
  act(beginHistory(emptyCase()), { do: "add-timepoint", name: "later", kind: "retention", date: null });

describe("any number of timepoints", () => {
  test("dates bring them into the order of time, and the compared span runs forward", () => {
    let history = three();
    history = act(history, { do: "set-date", timepoint: "after", date: "2026-05-01" });
    history = act(history, { do: "set-date", timepoint: "later", date: "2026-04-01" });
    expect(names(history.now)).toEqual(["before", "later", "after"]);
    history = act(history, { do: "choose-span", from: "later", to: "after" });
    history = act(history, { do: "set-date", timepoint: "later", date: "2026-06-01" });
    expect(names(history.now)).toEqual(["before", "after", "later"]);
    expect(history.now.span).toEqual({ from: "after", to: "later" });
    expect(undo(history).now.span).toEqual({ from: "later", to: "after" });
  });

  test("one that is added with a date stands where it belongs", () => {
    let history = beginHistory(emptyCase());
    history = act(history, { do: "set-date", timepoint: "before", date: "2026-03-01" });
    history = act(history, { do: "set-date", timepoint: "after", date: "2026-05-01" });
    history = act(history, { do: "add-timepoint", name: "between", kind: "after", date: "2026-04-01" });
    expect(names(history.now)).toEqual(["before", "between", "after"]);
  });

  test("another name goes into the span; one that is taken is not given", () => {
    const history = act(three(), { do: "rename-timepoint", timepoint: "after", name: "end of turning" });
    expect(names(history.now)).toEqual(["before", "end of turning", "later"]);
    expect(history.now.span).toEqual({ from: "before", to: "end of turning" });
    expect(act(history, { do: "rename-timepoint", timepoint: "later", name: "before" })).toBe(history);
  });

  test.each([
    ["later", { from: "before", to: "after" }],
    ["after", { from: "before", to: "later" }],
    ["before", { from: "after", to: "later" }],
  ])("without %s the others are compared, and two always remain", (timepoint, span) => {
    const history = act(three(), { do: "remove-timepoint", timepoint });
    expect(history.now.span).toEqual(span);
    expect(history.now.timepoints).toHaveLength(2);
    expect(act(history, { do: "remove-timepoint", timepoint: span.from })).toBe(history);
    expect(undo(history).now.timepoints).toHaveLength(3);
  });

  test("another kind", () => {
    const history = act(three(), { do: "set-kind", timepoint: "later", kind: "after" });
    expect(history.now.timepoints[2]!.kind).toBe("after");
  });
});

test("the age is in years and months where the month is known", () => {
  const born = { birthYear: 2011, birthMonth: 6 };
  expect(ageInMonths(born, "2026-03-03")).toBe(177);
  expect(ageText(177)).toBe("14\u00a0years 9\u00a0months");
  expect(ageText(13)).toBe("1\u00a0year 1\u00a0month");
  expect(ageInMonths({ ...born, birthMonth: null }, "2026-03-03")).toBeNull();
  expect(ageInMonths(born, null)).toBeNull();
  expect(ageInMonths(born, "2010-01-01")).toBeNull();
});
