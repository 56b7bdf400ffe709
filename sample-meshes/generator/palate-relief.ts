import { bump, smoothStep } from "./blending";
import type { Random } from "./random";
import { spatialNoise } from "./spatial-noise";

interface Ruga {
  readonly line: readonly (readonly [number, number])[];
  readonly height: number;
  readonly reach: number;
}

/** What stands out of the palatal vault: three pairs of rugae, incisive papilla, raphe, a fine unevenness. */
export class PalateRelief {
  private readonly rugae: Ruga[] = [];
  private readonly seed: number;

  /** `papillaY`: middle of the incisive papilla (mm behind the front of the arch form); `halfWidth` of the vault at 10 mm behind it. */
  constructor(
    readonly papillaY: number,
    halfWidth: number,
    random: Random,
  ) {
    this.seed = Math.floor(random.uniform() * 65536);
    const y = papillaY;
    for (const side of [-1, 1]) {
      const r = random.branch(side + 3);
      const wave = (n: number) => r.between(-n, n);
      const w = halfWidth / 13;
      const at = (points: readonly (readonly [number, number])[]) =>
        points.map(([px, py]) => [side * px * w, y + py] as const);
      this.rugae.push(
        {
          line: at([
            [2.6, 2.2 + wave(0.5)],
            [4.6, 0.9 + wave(0.4)],
            [7, 0.7 + wave(0.5)],
            [9, 2 + wave(0.5)],
            [10.6, 2.6 + wave(0.5)],
          ]),
          height: r.between(0.75, 0.95),
          reach: 1.45,
        },
        {
          line: at([
            [1.7, 6.3 + wave(0.6)],
            [4, 5.2 + wave(0.4)],
            [6.4, 5.6 + wave(0.5)],
            [8.3, 4.9 + wave(0.5)],
            [11.2, 6.6 + wave(0.6)],
          ]),
          height: r.between(0.7, 0.9),
          reach: 1.35,
        },
        {
          line: at([
            [1.9, 10.6 + wave(0.7)],
            [4.2, 9.6 + wave(0.5)],
            [6.4, 10.6 + wave(0.5)],
            [8.4, 10.2 + wave(0.5)],
            [10.2, 12.4 + wave(0.7)],
            [11.6, 12.6 + wave(0.7)],
          ]),
          height: r.between(0.6, 0.8),
          reach: 1.3,
        },
        {
          line: at([
            [6.4, 5.6],
            [7.6, 7.4 + wave(0.5)],
            [9.4, 8.3 + wave(0.5)],
          ]),
          height: r.between(0.35, 0.55),
          reach: 1.1,
        },
        {
          line: at([
            [4.4, 3.2 + wave(0.4)],
            [6.2, 3.4 + wave(0.4)],
          ]),
          height: r.between(0.3, 0.5),
          reach: 1.0,
        },
      );
    }
  }

  /** The raphe's course: x at y, mm. */
  rapheX(y: number): number {
    return 0.25 * spatialNoise(y * 0.12, 3.3, 0.5, this.seed + 1) * smoothStep(this.papillaY, this.papillaY + 8, y);
  }

  /** How far the surface stands out towards the mouth at x, y, mm. */
  at(x: number, y: number): number {
    let out = 0;
    const wx = x + 0.5 * spatialNoise(x * 0.45, y * 0.45, 1.5, this.seed + 2);
    const wy = y + 0.75 * spatialNoise(x * 0.4, y * 0.4, 7.5, this.seed + 3);
    for (const ruga of this.rugae) {
      let nearest = Number.POSITIVE_INFINITY;
      let along = 0;
      const n = ruga.line.length - 1;
      for (let i = 0; i < n; i++) {
        const [ax, ay] = ruga.line[i]!;
        const [bx, by] = ruga.line[i + 1]!;
        const ex = bx - ax;
        const ey = by - ay;
        const t = Math.min(Math.max(((wx - ax) * ex + (wy - ay) * ey) / (ex * ex + ey * ey), 0), 1);
        const dx = wx - ax - t * ex;
        const dy = wy - ay - t * ey;
        const d = Math.sqrt(dx * dx + dy * dy);
        if (d < nearest) {
          nearest = d;
          along = (i + t) / n;
        }
      }
      const strength =
        0.55 + 0.45 * bump(1.3 * (along - 0.4)) + 0.25 * spatialNoise(x * 0.5, y * 0.5, 3.5, this.seed + 4);
      const ends = smoothStep(-0.02, 0.12, along) * smoothStep(1.02, 0.8, along);
      out = Math.max(out, 0) + ruga.height * strength * (0.35 + 0.65 * ends) * bump(nearest / ruga.reach);
    }
    const px = x / 2.1;
    const py = (y - this.papillaY) / (y < this.papillaY ? 2.6 : 3.8);
    out += 1.25 * bump(0.92 * Math.sqrt(px * px + py * py));
    const fromRaphe = x - this.rapheX(y);
    const raphe = smoothStep(this.papillaY + 1.5, this.papillaY + 4, y);
    out += raphe * (0.62 * bump(fromRaphe / 1.25) - 0.16 * bump((Math.abs(fromRaphe) - 2.1) / 1.2));
    out +=
      0.1 * spatialNoise(x * 0.3, y * 0.3, 0.5, this.seed + 5) +
      0.045 * spatialNoise(x * 1.1, y * 1.1, 0.5, this.seed + 6);
    return out;
  }
}
