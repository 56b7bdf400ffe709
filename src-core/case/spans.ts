/** Two timepoints that are compared, by name. */
export interface Span {
  readonly from: string;
  readonly to: string;
}

/** The spans of a case: every timepoint against the first, and each against the one before it, in the order of time. */
export const spansOf = (names: readonly string[]): Span[] =>
  names.flatMap((to, i) => {
    if (i === 0) return [];
    const first = { from: names[0]!, to };
    return i === 1 ? [first] : [first, { from: names[i - 1]!, to }];
  });

/** A word of a file's name: small letters, digits and hyphens. */
const plain = (name: string): string =>
  name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "")
    .slice(0, 40);

/** A folder's name for each span, safe on every file system and of its own: 'before-to-after'. */
export function spanFolders(spans: readonly Span[], names: readonly string[]): string[] {
  const words = new Map<string, string>();
  const taken = new Set<string>();
  names.forEach((name, i) => {
    const wished = plain(name) || `scan-${i + 1}`;
    let word = wished;
    for (let number = 2; taken.has(word); number++) word = `${wished}-${number}`;
    taken.add(word);
    words.set(name, word);
  });
  return spans.map(({ from, to }) => `${words.get(from)}-to-${words.get(to)}`);
}
