import { fixed, signed } from "../readings/numbers-in-words";

/**
 * Numbers, dates and names as the sheet prints them, the same in every place and every locale: the minus is U+2212,
 * pairs carry an en dash, a number and its unit never part (U+00A0).
 */

export { daysBetween } from "../case/iso-date";
export { fixed, listed, pairWords, signed } from "../readings/numbers-in-words";

const MINUS = "\u2212";
const NO_BREAK = "\u00a0";

/** An uncertainty: '± 0.4'. One that would round to zero is rounded up instead (JCGM 100:2008, 7.2.6). */
export function plusMinus(uncertainty: number, decimals = 1): string {
  return `±${NO_BREAK}${uncertaintyText(uncertainty, decimals)}`;
}

/** An uncertainty without the sign, rounded up where it would round to zero. */
export function uncertaintyText(uncertainty: number, decimals = 1): string {
  const text = uncertainty.toFixed(decimals);
  if (Number(text) !== 0 || uncertainty === 0) return text;
  return decimals === 0 ? "1" : `0.${"0".repeat(decimals - 1)}1`;
}

/** A length: '6.1 mm'. */
export const millimetres = (value: number, decimals = 1): string => `${fixed(value, decimals)}${NO_BREAK}mm`;

/** A change of length: '+6.1 mm'. */
export const signedMillimetres = (value: number, decimals = 1): string => `${signed(value, decimals)}${NO_BREAK}mm`;

/** An angle with its unit: '9.7°'. */
export const degrees = (value: number, decimals = 1): string => `${fixed(value, decimals)}°`;

/** A 95 % interval: '1.4 to 2.0'; words, because a dash between signed numbers reads as a minus. */
export const interval = (low: number, high: number, decimals = 1): string =>
  `${fixed(low, decimals)} to ${fixed(high, decimals)}`;

/** A share of 1 in percent: '97 %'. */
export const percent = (share: number, decimals = 0): string => `${fixed(share * 100, decimals)}${NO_BREAK}%`;

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** '2026-03-03' as '3 Mar 2026'; text that is no date stays as it is. */
export function dateText(iso: string): string {
  const parts = /^(\d{4})-(\d{2})-(\d{2})/.exec(iso);
  const month = parts === null ? undefined : MONTHS[Number(parts[2]) - 1];
  return parts === null || month === undefined ? iso : `${Number(parts[3])}${NO_BREAK}${month}${NO_BREAK}${parts[1]}`;
}

/** '2026-11-25T10:42:00Z' as '25 Nov 2026, 10:42:00 UTC'; an offset is printed as such. */
export function momentText(iso: string): string {
  const parts = /^\d{4}-\d{2}-\d{2}T(\d{2}:\d{2}(?::\d{2})?)(?:\.\d+)?(Z|[+-]\d{2}:\d{2})?$/.exec(iso);
  if (parts === null) return iso;
  const offset = parts[2] ?? "";
  const zone = offset === "" ? "" : `${NO_BREAK}UTC${offset === "Z" ? "" : offset.replace("-", MINUS)}`;
  return `${dateText(iso)}, ${parts[1]}${zone}`;
}

/** The first 12 hex digits of a file's SHA-256, in groups that can be read aloud: '3f9a 04c1 77d0'. */
export const shortHash = (sha256: string): string => sha256.slice(0, 12).replace(/(.{4})(?=.)/g, `$1${NO_BREAK}`);

/** First letter in upper case, to begin a sentence. */
export const sentenceCase = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
