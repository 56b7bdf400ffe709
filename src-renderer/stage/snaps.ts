import type { Vector3 } from "#core/geometry/vector";

/** Where points that were placed snapped to, as the stage showed it, until the measurement says so itself. */
export class Snaps {
  readonly #places = new Map<string, Vector3>();

  remember(placed: Vector3, used: Vector3): void {
    this.#places.set(placed.join(" "), used);
  }

  of(placed: Vector3): Vector3 | null {
    return this.#places.get(placed.join(" ")) ?? null;
  }
}
