import { describe, expect, test } from "vitest";
import { type CaseDocument, emptyCase } from "#core/case/case-document";
import type { TurningPhase } from "#core/case/expander";
import { made, type Quantity, withheldBecause } from "#core/readings/quantity";
import type { Given, HalvesReading } from "#core/readings/readings-document";
import { readScrew, type ScrewSpan } from "#core/readings/screw";
import type { ScrewReading } from "#core/readings/screw-document";
import { readSpan } from "#core/readings/span-readings";
import { inventedReadings } from "../sheet/invented-readings";
import { inventedPoints, SIMULATED } from "./invented-arch";

const phase = (
  direction: TurningPhase["direction"],
  turns: number,
  from: string | null = null,
  to: string | null = null,
): TurningPhase => ({ direction, turns, from, to });

const withExpander = (expander: Partial<CaseDocument["identity"]["expander"]>, changes: Partial<CaseDocument> = {}) => {
  const empty = emptyCase();
  return {
    ...empty,
    identity: { ...empty.identity, expander: { ...empty.identity.expander, millimetresPerTurn: 0.25, ...expander } },
    ...changes,
  };
};

const { widths } = readSpan(
  inventedPoints("before", () => 0),
  inventedPoints("after", (station) => 6 - station / 10),
  SIMULATED,
  "expansion",
);

/** Halves that opened by so much at canines and molars, with these expanded uncertainties. */
const halvesOf = (canines: number, molars: number, U: number): Given<HalvesReading> => {
  const quantity = (value: number): Quantity => ({
    value,
    standardUncertainty: U / 2,
    expandedUncertainty: U,
    coverageFactor: 2,
    components: { point: 0, registration: U / 2, scanner: 0 },
  });
  return made({ ...of(inventedReadings().halves), atCanines: quantity(canines), atMolars: quantity(molars) });
};

const span = (changes: Partial<ScrewSpan> = {}): ScrewSpan => ({
  from: { name: "before", date: "2026-03-03" },
  to: { name: "after", date: "2026-05-28" },
  words: "expansion",
  widths,
  halves: withheldBecause("registration-failed", "no palate"),
  ...changes,
});

const read = (document: CaseDocument, changes: Partial<ScrewSpan> = {}): ScrewReading =>
  readScrew(document, span(changes))!;
const of = <T>(given: Given<T>): T => {
  if (given.state === "withheld") throw new Error(given.reason.text);
  return given.reading;
};
const reason = (given: Given<unknown>): string => (given.state === "withheld" ? given.reason.text : "");

describe("delivered by the screw", () => {
  test("is (opening − closing turns) × mm per turn over any number of phases, with all turns beside the net ones", () => {
    const screw = read(
      withExpander({
        turnsOpenAtFitting: 5,
        capacity: 10,
        phases: [phase("opening", 24, "2026-03-05", "2026-03-16"), phase("closing", 4, "2026-03-20", "2026-03-22")],
      }),
    );
    expect(of(screw.delivered)).toEqual({ front: 5, back: 5 });
    expect([screw.netTurns, screw.cumulatedTurns]).toEqual([20, 28]);
    // Opened by 5 turns before it was fitted: 1.25 mm of its opening, nothing in the patient.
    expect(of(screw.openedBeforeFitting).front).toBe(1.25);
    expect(of(screw.opening).front).toBe(6.25);
    expect(of(screw.travelLeft)).toBe(3.75);
  });

  test("says that alternating phases hide forward movement, and says nothing of it otherwise", () => {
    const alternating = read(withExpander({ phases: [phase("opening", 20), phase("closing", 20)] }));
    expect(alternating.remarks.join(" ")).toContain("forward movement cannot be read from an upper scan");
    expect(of(alternating.delivered).front).toBe(0);
    expect(read(withExpander({ phases: [phase("opening", 20)] })).remarks.join(" ")).not.toContain("forward");
  });

  test("has a scale at each end of a screw that opens as a fan; the end that opens farther uses up the travel", () => {
    const screw = read(
      withExpander({
        millimetresPerTurn: null,
        millimetresPerTurnAtEnds: { front: 0.3, back: 0.1 },
        capacity: 9,
        turnsOpenAtFitting: 0,
        phases: [phase("opening", 20)],
      }),
    );
    expect(screw.fan).toBe(true);
    expect(of(screw.delivered)).toEqual({ front: 6, back: 2 });
    expect(of(screw.travelLeft)).toBe(3);
  });

  test("counts only the phases between the scans, and the earlier ones for the opening of the screw", () => {
    const phases = [
      phase("opening", 8, "2026-01-05", "2026-01-10"),
      phase("opening", 24, "2026-03-03", "2026-03-14"),
      phase("opening", 6, "2026-06-01", "2026-06-03"),
    ];
    const screw = read(withExpander({ turnsOpenAtFitting: 0, phases }));
    expect(of(screw.delivered).front).toBe(6);
    expect(of(screw.opening).front).toBe(8);
    expect(screw.phasesOutside).toBe(2);
    expect(screw.remarks.join(" ")).toContain("2 phases of turning outside the two scans are not counted");
  });

  test("is withheld where a phase reaches over a scan's date: its turns cannot be shared out", () => {
    const over = read(
      withExpander({ turnsOpenAtFitting: 0, phases: [phase("opening", 24, "2026-02-25", "2026-03-10")] }),
    );
    expect(reason(over.delivered)).toContain("began before the before scan and ended after it");
    expect(of(over.opening).front).toBe(6);
    const beyond = read(
      withExpander({ turnsOpenAtFitting: 0, phases: [phase("opening", 24, "2026-05-20", "2026-06-10")] }),
    );
    expect(reason(beyond.delivered)).toContain("began before the after scan and ended after it");
    expect(reason(beyond.opening)).toContain("after scan");
  });

  test("takes phases without a date to lie within an expansion and before a retention, and says so", () => {
    const document = withExpander({ turnsOpenAtFitting: 0, phases: [phase("opening", 24)] });
    expect(of(read(document).delivered).front).toBe(6);
    expect(read(document).phasesUndated).toBe(1);
    expect(read(document).remarks.join(" ")).toContain("without a date is taken to lie between the two scans");
    const retention = read(document, {
      from: { name: "after", date: "2026-05-28" },
      to: { name: "in retention", date: "2026-11-24" },
      words: "retention",
    });
    expect(of(retention.delivered).front).toBe(0);
    expect(of(retention.opening).front).toBe(6);
    expect(retention.places).toEqual([]);
    expect(retention.separation).toBeNull();
  });

  test("withholds what was not entered, and is not there at all where nothing was", () => {
    const unscaled = read(withExpander({ millimetresPerTurn: null, phases: [phase("opening", 24)] }));
    expect(reason(unscaled.delivered)).toBe("needs the millimetres per turn of the screw");
    expect(reason(unscaled.opening)).toContain("opened before it was fitted");
    expect(reason(unscaled.travelLeft)).toBe("needs the whole travel of the screw");
    expect(reason(read(withExpander({ capacity: 10 })).delivered)).toBe("needs the turns made in the mouth");
    expect(readScrew(withExpander({}), span())).toBeNull();
  });

  test("asks to check turns that the screw cannot have made", () => {
    const phases = [phase("opening", 60)];
    const far = read(withExpander({ capacity: 10, turnsOpenAtFitting: 0, phases }));
    expect(far.remarks.join(" ")).toContain("exceed the screw’s whole travel by 5.0 mm");
    const closed = read(withExpander({ turnsOpenAtFitting: 2, phases: [phase("closing", 8)] }));
    expect(closed.remarks.join(" ")).toContain("more closing turns than the screw was open");
  });
});

describe("aimed at, delivered, measured", () => {
  test("stand beside each other at the planned place, none changed by the others", () => {
    const document = withExpander(
      { phases: [phase("opening", 24)] },
      {
        plan: {
          target: { pair: "6-6", level: "palatal-gingival", millimetres: 5 },
          overCorrection: null,
          expectedLossPercent: null,
        },
      },
    );
    const screw = read(document);
    const [planned, ...others] = screw.places;
    expect(planned).toMatchObject({ at: "6–6, palatal gingival points", target: 5, end: "back" });
    const width = widths.find((w) => w.pair === "6-6" && w.level === "palatal-gingival")!;
    expect(planned!.measured).toEqual(width.change);
    expect(others.map(({ at }) => at)).toEqual([
      "3–3, cusp tips",
      "6–6, mesiobuccal cusp tips",
      "halves of the palate",
    ]);
    expect(others.every(({ target }) => target === null)).toBe(true);
    expect(reason(others.at(-1)!.measured)).toBe("no palate");
  });

  test("say what is missing where the planned width was not measured", () => {
    const document = withExpander(
      { phases: [phase("opening", 24)] },
      {
        plan: {
          target: { pair: "6-6", level: "central-fossa", millimetres: 5 },
          overCorrection: null,
          expectedLossPercent: null,
        },
      },
    );
    expect(reason(read(document).places[0]!.measured)).toBe("needs the central fossae of 6–6 on both scans");
  });
});

describe("whether the palatal surfaces separated", () => {
  const turned = (turns: number) => withExpander({ phases: [phase("opening", turns)] });

  test("none detected: both openings within their error although the screw delivered 2 mm or more", () => {
    const screw = read(turned(24), { halves: halvesOf(0.2, -0.1, 0.3) });
    expect(screw.separation).toEqual({
      verdict: "none-detected",
      sentence: "No separation of the palatal surfaces detected although the screw delivered 6.0 mm.",
    });
  });

  test("is not asked below the settable limit", () => {
    expect(read(turned(7), { halves: halvesOf(0, 0, 0.3) }).separation).toBeNull();
    expect(read(turned(8), { halves: halvesOf(0, 0, 0.3) }).separation?.verdict).toBe("none-detected");
  });

  test("cannot be told where the error exceeds half of what was delivered", () => {
    expect(read(turned(8), { halves: halvesOf(0.2, 0.1, 1.1) }).separation?.verdict).toBe("cannot-be-told");
    expect(read(turned(8), { halves: halvesOf(0.2, 0.1, 0.9) }).separation?.verdict).toBe("none-detected");
    expect(read(turned(8)).separation?.sentence).toContain("cannot be told: no palate");
  });

  test("is detected where one of the openings is beyond its error", () => {
    expect(read(turned(8), { halves: halvesOf(0.5, 0.1, 0.4) }).separation?.verdict).toBe("detected");
  });

  test("is asked of the end of a fan screw that was turned, not of the other", () => {
    const fan = withExpander({
      millimetresPerTurn: null,
      millimetresPerTurnAtEnds: { front: 0.25, back: 0 },
      phases: [phase("opening", 24)],
    });
    expect(read(fan, { halves: halvesOf(0.1, 2, 0.3) }).separation?.verdict).toBe("none-detected");
  });

  test("no word claims that a suture opened, nor tells what to do", () => {
    for (const halves of [halvesOf(0, 0, 0.3), halvesOf(0, 0, 9), halvesOf(3, 2, 0.3)]) {
      expect(read(turned(24), { halves }).separation!.sentence).not.toMatch(/suture|bone|should|must|stop|turn on/i);
    }
  });
});
