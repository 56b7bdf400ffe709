/** The memory of all typed arrays in an answer, a few levels deep: it moves to the page instead of being copied. */
export function buffersOf(answer: unknown): ArrayBuffer[] {
  const found = new Set<ArrayBuffer>();
  const look = (value: unknown, depth: number): void => {
    if (ArrayBuffer.isView(value)) {
      if (value.buffer instanceof ArrayBuffer) found.add(value.buffer);
    } else if (depth > 0 && typeof value === "object" && value !== null) {
      for (const part of Object.values(value)) look(part, depth - 1);
    }
  };
  look(answer, 4);
  return [...found];
}
