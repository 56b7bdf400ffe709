import type { ErrorParts } from "../errors";
import type { Withheld } from "../readings/readings-document";

/** A reading withheld for a reason that no single landmark would mend. */
export const withheld = (code: Withheld["code"], text: string): { state: "withheld"; reason: Withheld } => ({
  state: "withheld",
  reason: { code, text, needs: [] },
});

/** How a reading is withheld whose registration failed. */
export const failureCode = ({ code }: ErrorParts): "masked" | "registration-failed" =>
  code === "masked" ? "masked" : "registration-failed";
