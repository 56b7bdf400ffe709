import type { DisplayMesh } from "#core/jobs/job-list";
import { brushed } from "#core/mesh/brush";
import type { Stage } from "./stage";

interface Spot {
  readonly x: number;
  readonly y: number;
}

/** One stroke over a scan: the mask it has come to so far. */
export class BrushStroke {
  readonly #stage: Stage;
  readonly #mesh: DisplayMesh;
  readonly #radius: number;
  readonly mask: Uint8Array;
  #last: Spot | null = null;

  /**
   * @param mask what was painted before, one byte per triangle; it is not changed
   * @param radius of the brush, mm
   */
  constructor(stage: Stage, mesh: DisplayMesh, mask: Uint8Array | null, radius: number) {
    this.#stage = stage;
    this.#mesh = mesh;
    this.#radius = radius;
    this.mask = mask?.slice() ?? new Uint8Array(mesh.triangles.length / 3);
  }

  /** Paints, or wipes, from where the stroke was last to here. @returns whether the surface was touched */
  to(at: Spot, wipes: boolean): boolean {
    const from = this.#last ?? at;
    this.#last = at;
    // Near enough to each other that the touches of the brush join.
    const reach = Math.max(2, this.#radius / this.#stage.eye.millimetresPerPixel());
    const steps = Math.max(1, Math.ceil(Math.hypot(at.x - from.x, at.y - from.y) / (0.7 * reach)));
    let touched = false;
    for (let step = 1; step <= steps; step++) {
      const share = step / steps;
      const hit = this.#stage.touch(from.x + share * (at.x - from.x), from.y + share * (at.y - from.y));
      if (hit === null) continue;
      touched = true;
      const found = brushed(this.#mesh, hit.triangle, hit.at, this.#radius, hit.towardsEye);
      for (const triangle of found) this.mask[triangle] = wipes ? 0 : 1;
    }
    return touched;
  }
}
