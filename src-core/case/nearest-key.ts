/** Fewest insertions, deletions and replacements of letters that turn one word into the other (Levenshtein 1966). */
function editDistance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      next.push(Math.min(row[j]! + 1, next[j - 1]! + 1, row[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1)));
    }
    row = next;
  }
  return row[b.length]!;
}

/** The known key that a mistyped one most likely means; null where none is near. */
export function nearestKey(typed: string, known: readonly string[]): string | null {
  const plain = typed.toLowerCase();
  let nearest: string | null = null;
  let least = Math.max(2, Math.floor(typed.length / 3)) + 1;
  for (const key of known) {
    const away = editDistance(plain, key.toLowerCase());
    if (away < least) {
      least = away;
      nearest = key;
    }
  }
  return nearest;
}

/** What to say of keys that an object does not have. */
export function unknownKeys(keys: readonly string[], known: readonly string[]): string {
  const [first = ""] = keys;
  const nearest = nearestKey(first, known);
  const list = keys.map((key) => `'${key}'`).join(", ");
  return nearest === null
    ? `there is no ${list} here, but ${known.join(", ")}`
    : `there is no ${list} here; is '${nearest}' meant?`;
}
