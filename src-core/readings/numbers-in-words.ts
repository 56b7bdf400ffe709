/** Numbers as they are printed: the same in every engine and language, with the true minus sign U+2212. */

/** A number with fixed decimals; what rounds to zero has no sign. */
export function fixed(value: number, decimals = 1): string {
  const digits = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(digits) !== 0 ? `\u2212${digits}` : digits;
}

/** A change: always with its sign, '+2.8' or '−0.4'; what rounds to zero is '0.0'. */
export function signed(value: number, decimals = 1): string {
  const digits = fixed(value, decimals);
  return value > 0 && Number(digits) !== 0 ? `+${digits}` : digits;
}

/** '5.2 mm'. */
export const millimetres = (value: number, decimals = 1): string => `${fixed(value, decimals)} mm`;

/** A pair's name with the en dash: '3–3'. */
export const pairWords = (pair: string): string => pair.replace("-", "\u2013");

/** 'a', 'a and b', 'a, b and c'. */
export function listed(items: readonly string[]): string {
  if (items.length <= 1) return items.join("");
  return `${items.slice(0, -1).join(", ")} and ${items.at(-1)}`;
}
