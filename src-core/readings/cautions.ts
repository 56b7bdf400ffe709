/** What stands on every screen and sheet, whatever was measured. */
export const CAUTIONS: readonly string[] = [
  "A surface scan shows neither suture, roots nor bone.",
  "These measurements support and never replace the judgement of a licensed clinician and local rules.",
  "Which half moved in the head cannot be known from two arch scans.",
  "Raphe measures and documents; it does not diagnose and is not a certified medical device.",
];

/** The same where points were carried over. */
export const CARRIED_POINTS =
  "Points placed on one scan only were carried to the other by the registration of their crown: the same spot of the crown at both times. Studies that place points anew re-find the highest point, which differs as the crown tips (0.36 mm at 10°).";

/** The same where they were placed on neither of the compared scans. */
export const carriedFromThird = (scan: string): string =>
  `Points placed on the ${scan} scan only were carried from it to both compared scans, by one registration each.`;

/** How the points were found, which matters for comparing with other studies. */
export const REFOUND_POINTS =
  "The points were placed by hand on both scans and found anew as the highest point of the cusp, which differs from the same spot of the crown as it tips (0.36 mm at 10°).";
