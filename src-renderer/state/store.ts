/** A value that changes and those who look at it. */
export interface Store<T> {
  get(): T;
  /** Replaces the value by what `change` makes of it; the same object means that nothing changed. */
  set(change: (now: T) => T): void;
  /** Calls the listener after each change; returns how to stop. */
  subscribe(listener: () => void): () => void;
}

export function createStore<T>(initial: T): Store<T> {
  let value = initial;
  const listeners = new Set<() => void>();
  return {
    get: () => value,
    set: (change) => {
      const next = change(value);
      if (next === value) return;
      value = next;
      for (const listener of [...listeners]) listener();
    },
    subscribe: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}
