/** A point of the arch form with its running length. */
interface CurvePoint {
  readonly x: number;
  readonly y: number;
  readonly s: number;
}

/** The arch form: the line through the crowns seen from below, symmetrical about x = 0; s runs from the midline back. */
export class ArchForm {
  private readonly left: CurvePoint[] = [];

  /** `through`: points of the left half from the midline (x = 0, y = 0) back, mm; the curve is a Catmull-Rom spline. */
  constructor(through: readonly (readonly [number, number])[]) {
    const first = through[1]!;
    const last = through[through.length - 1]!;
    const beforeLast = through[through.length - 2]!;
    const points = [
      [-first[0], first[1]] as const,
      ...through,
      [2 * last[0] - beforeLast[0], 2 * last[1] - beforeLast[1]] as const,
    ];
    let s = 0;
    for (let i = 1; i < points.length - 2; i++) {
      const steps = 14;
      for (let j = i === 1 ? 0 : 1; j <= steps; j++) {
        const t = j / steps;
        const at = (axis: 0 | 1) => {
          const [a, b, c, d] = [points[i - 1]![axis], points[i]![axis], points[i + 1]![axis], points[i + 2]![axis]];
          return (
            0.5 * (2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t * t + (3 * b - a - 3 * c + d) * t * t * t)
          );
        };
        const p = { x: at(0), y: at(1) };
        const before = this.left[this.left.length - 1];
        if (before !== undefined) {
          s += Math.sqrt((p.x - before.x) * (p.x - before.x) + (p.y - before.y) * (p.y - before.y));
        }
        this.left.push({ ...p, s });
      }
    }
  }

  /** Length of the left half, mm. */
  get length(): number {
    return this.left[this.left.length - 1]!.s;
  }

  /** Position and direction (to distal) at s mm from the midline on the left; mirror x for the right. */
  at(s: number): { x: number; y: number; directionX: number; directionY: number } {
    const points = this.left;
    let i = 1;
    while (i < points.length - 1 && points[i]!.s < s) i++;
    const a = points[i - 1]!;
    const b = points[i]!;
    const t = (s - a.s) / (b.s - a.s);
    const dx = b.x - a.x;
    const dy = b.y - a.y;
    const l = Math.sqrt(dx * dx + dy * dy);
    return { x: a.x + t * dx, y: a.y + t * dy, directionX: dx / l, directionY: dy / l };
  }

  /** Distance of x, y from the arch form (positive outside, that is buccal) and the place along it. */
  nearest(x: number, y: number): { offset: number; s: number } {
    const px = x < 0 ? -x : x;
    let best = Number.POSITIVE_INFINITY;
    let s = 0;
    let outside = false;
    for (let i = 1; i < this.left.length; i++) {
      const a = this.left[i - 1]!;
      const b = this.left[i]!;
      const dx = b.x - a.x;
      const dy = b.y - a.y;
      let t = ((px - a.x) * dx + (y - a.y) * dy) / (dx * dx + dy * dy);
      t = t < 0 ? 0 : t > 1 && i < this.left.length - 1 ? 1 : t;
      const ex = px - a.x - t * dx;
      const ey = y - a.y - t * dy;
      const d = ex * ex + ey * ey;
      if (d < best) {
        best = d;
        s = a.s + t * (b.s - a.s);
        outside = dy * ex - dx * ey > 0;
      }
    }
    return { offset: outside ? Math.sqrt(best) : -Math.sqrt(best), s };
  }
}
