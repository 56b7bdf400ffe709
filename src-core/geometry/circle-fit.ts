import { RapheError } from "../errors";

/** A circle in a plane, mm. */
export interface CircleFit {
  readonly centre: readonly [x: number, y: number];
  readonly radius: number;
  /** Sum of squared distances of the points from the circle, mm². */
  readonly squaredError: number;
}

/**
 * The circle with the smallest sum of squared distances of the points from it (the geometric fit of Gander, Golub &
 * Strebel 1994, BIT 34:558-578), by Gauss-Newton with step halving from the linear fit of Kåsa 1976.
 * @param points at least three points of a plane, mm
 * @throws RapheError `too-few-points`; `fit-unstable` if the points lie on one line
 */
export function fitCircle(points: readonly (readonly [number, number])[]): CircleFit {
  if (points.length < 3) {
    throw new RapheError({
      code: "too-few-points",
      subject: "",
      problem: `${points.length} points do not fix a circle, three are needed`,
      remedy: "Place the missing points",
    });
  }
  let [x, y] = linearCircleCentre(points);
  let current = atCentre(points, x, y);
  for (let round = 0; round < 200; round++) {
    // With the radius taken as the mean distance, the residual is d_i − mean(d): two unknowns are left.
    let a = 0;
    let b = 0;
    let c = 0;
    let gx = 0;
    let gy = 0;
    let meanX = 0;
    let meanY = 0;
    const directions = points.map(([px, py]) => {
      const d = Math.max(Math.hypot(px - x, py - y), Number.MIN_VALUE);
      meanX += (x - px) / d / points.length;
      meanY += (y - py) / d / points.length;
      return [(x - px) / d, (y - py) / d, d] as const;
    });
    for (const [dx, dy, d] of directions) {
      const jx = dx - meanX;
      const jy = dy - meanY;
      const residual = d - current.radius;
      a += jx * jx;
      b += jx * jy;
      c += jy * jy;
      gx += jx * residual;
      gy += jy * residual;
    }
    const determinant = a * c - b * b;
    if (!(determinant > 1e-14 * (a + c) * (a + c))) throw lineError();
    let stepX = (b * gy - c * gx) / determinant;
    let stepY = (b * gx - a * gy) / determinant;
    let next = atCentre(points, x + stepX, y + stepY);
    for (let halving = 0; next.squaredError > current.squaredError && halving < 30; halving++) {
      stepX /= 2;
      stepY /= 2;
      next = atCentre(points, x + stepX, y + stepY);
    }
    if (!(next.squaredError <= current.squaredError)) break;
    x += stepX;
    y += stepY;
    current = next;
    if (Math.hypot(stepX, stepY) <= 1e-13 * (current.radius + 1e-300)) break;
  }
  return { centre: [x, y], ...current };
}

function atCentre(points: readonly (readonly [number, number])[], x: number, y: number) {
  let radius = 0;
  for (const [px, py] of points) radius += Math.hypot(px - x, py - y) / points.length;
  let squaredError = 0;
  for (const [px, py] of points) {
    const residual = Math.hypot(px - x, py - y) - radius;
    squaredError += residual * residual;
  }
  return { radius, squaredError };
}

/** Centre of Kåsa's fit: least squares on x² + y² = 2·cx·x + 2·cy·y + c, about the centroid. */
function linearCircleCentre(points: readonly (readonly [number, number])[]): [number, number] {
  const n = points.length;
  let mx = 0;
  let my = 0;
  for (const [px, py] of points) {
    mx += px / n;
    my += py / n;
  }
  let xx = 0;
  let xy = 0;
  let yy = 0;
  let rx = 0;
  let ry = 0;
  for (const [px, py] of points) {
    const u = px - mx;
    const v = py - my;
    const w = u * u + v * v;
    xx += u * u;
    xy += u * v;
    yy += v * v;
    rx += (u * w) / 2;
    ry += (v * w) / 2;
  }
  const determinant = xx * yy - xy * xy;
  if (!(determinant > 1e-12 * (xx + yy) * (xx + yy))) throw lineError();
  return [mx + (yy * rx - xy * ry) / determinant, my + (xx * ry - xy * rx) / determinant];
}

const lineError = () =>
  new RapheError({
    code: "fit-unstable",
    subject: "",
    problem: "the points lie on one line, so no circle is determined",
    remedy: "Add a point away from that line",
  });
