import { type CaseDocument, emptyCase } from "#core/case/case-document";

/** An invented case for the invented readings; the file names carry a name that must never reach the record. */
export function inventedCase(): CaseDocument {
  const empty = emptyCase();
  return {
    ...empty,
    invented: true,
    identity: {
      ...empty.identity,
      pseudonym: "K-0412",
      birthYear: 2011,
      examiner: "X. Y.",
      expander: {
        ...empty.identity.expander,
        kind: "miniscrew-carried",
        millimetresPerTurn: 0.25,
        turnsOpenAtFitting: 5,
        phases: [{ direction: "opening", turns: 24, from: null, to: null }],
      },
    },
    timepoints: [
      {
        ...empty.timepoints[0]!,
        date: "2026-03-03",
        scan: { sha256: `3f9a04c177d0${"0".repeat(52)}`, fileName: "Invented Person upper.stl", unit: "mm" },
        landmarks: [{ tooth: 13, place: "cusp-tip", at: [-15, 8, 0] }],
      },
      {
        ...empty.timepoints[1]!,
        date: "2026-05-28",
        scan: { sha256: `77d0e1b2a4c4${"0".repeat(52)}`, fileName: "Invented Person upper 2.ply", unit: "mm" },
        landmarks: [{ tooth: 13, place: "cusp-tip", at: [-18, 8, 0] }],
      },
    ],
  };
}
