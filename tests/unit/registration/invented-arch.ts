import { cos, exp, ln, pow, sin } from "#core/geometry/real";
import { apply, type RigidTransform } from "#core/geometry/rigid-transform";
import { seededRandom } from "#core/geometry/seeded-random";
import type { Vector3 } from "#core/geometry/vector";
import type { TriangleMesh } from "#core/mesh/triangle-mesh";
import type { Mark } from "#core/registration/landmark-start";

/**
 * An invented upper arch for tests of registration: a surface over the occlusal plane in the arch's own axes
 * (x to the patient's left, y to the back, z to the head), with a vault, rugae, raphe, papilla and 14 bumps for crowns.
 * It has no likeness to a person; its relief is drawn from the number `person`.
 */
export interface InventedScan {
  /** Different numbers give different palates. */
  readonly person: number;
  /** Spacing of the vertices, mm. */
  readonly spacing: number;
  /** Standard deviation of the scanner's noise, mm. */
  readonly noise: number;
  /** Seed of noise and triangulation. */
  readonly seed: number;
  /** What happened to the material points before the scan was taken; nothing if left out. */
  readonly motion?: (p: Vector3) => Vector3;
  /** Where the file's axes lie: arch axes → file coordinates. */
  readonly pose?: RigidTransform;
  /** Crowns (0 = first on the right side … 13 = last on the left) that stand 1.5 mm further out. */
  readonly movedCrowns?: readonly number[];
  /** Back end of the scan, mm behind the front; 50 if left out. */
  readonly backEnd?: number;
}

/** Middles of the 14 crowns, right to left, in the arch's own axes. */
export const CROWNS: readonly Vector3[] = Array.from({ length: 14 }, (_, i): Vector3 => {
  const s = (i - 6.5) / 6.5;
  return [26 * s * (1.25 - 0.25 * s * s), 44 * pow(Math.abs(s), 2.1), 0];
});

/** Half width of the arch at y. */
export function halfWidth(y: number): number {
  for (let i = 8; i < 14; i++) {
    const a = CROWNS[i - 1]!;
    const b = CROWNS[i]!;
    if (y <= b[1]) return a[0] + ((b[0] - a[0]) * (y - a[1])) / (b[1] - a[1]);
  }
  return CROWNS[13]![0];
}

const ridge = (distance: number, width: number): number => exp((-distance * distance) / (width * width));

/** Height of the palate and of the ridge above the occlusal plane, without crowns. */
export function palateHeight(x: number, y: number, person: number): number {
  const random = seededRandom(person * 7919 + 1);
  const depth = 13 + 4 * random();
  const narrow = 0.8 + 0.15 * random();
  const inside = Math.min(1.3, Math.abs(x) / (halfWidth(Math.max(0.5, y)) * narrow));
  const front = 1 - exp(-Math.max(0, y - 3) / 9);
  let z = 6 + depth * Math.max(0, 1 - pow(inside + 1e-9, 2.4)) * front;
  // Three pairs of rugae, not mirror images of each other.
  for (let pair = 0; pair < 3; pair++) {
    for (const side of [-1, 1]) {
      const start = 11 + 4.2 * pair + 1.2 * (random() - 0.5);
      const slant = 0.15 + 0.35 * random();
      const wave = 0.6 * random();
      const reach = 7 + 3 * random();
      const along = side * x;
      const middle = start + slant * along + wave * sin(along * 0.9);
      const length = along > 1 ? exp(-pow(Math.max(0, along - reach) / 1.5 + 1e-12, 2)) : Math.max(along, 0);
      z -= 0.8 * ridge(y - middle, 0.8) * length;
    }
  }
  z -= 0.4 * ridge(x, 0.7) * (y > 8 ? 1 : 0);
  z -= 1.2 * ridge(x, 2) * ridge(y - 7, 2.2);
  // Everyone's own low relief.
  for (let wave = 0; wave < 8; wave++) {
    const kx = 0.5 * (random() - 0.5);
    const ky = 0.5 * (random() - 0.5);
    z += 0.5 * (random() - 0.3) * sin(kx * x + ky * y + 6.28 * random());
  }
  return z;
}

/** The scan as an indexed mesh in file coordinates, seen from the mouth (the surface faces −z). */
export function inventedScan(scan: InventedScan): TriangleMesh {
  const random = seededRandom(scan.seed);
  const columns = Math.round(66 / scan.spacing);
  const rows = Math.round(((scan.backEnd ?? 50) + 4) / scan.spacing);
  const crowns = CROWNS.map((c, i): Vector3 => {
    if (!scan.movedCrowns?.includes(i)) return c;
    return [c[0] + 1.5 * Math.sign(c[0]), c[1], c[2]];
  });
  const positions = new Float64Array(3 * (columns + 1) * (rows + 1));
  const inside = new Uint8Array((columns + 1) * (rows + 1));
  for (let r = 0; r <= rows; r++) {
    for (let c = 0; c <= columns; c++) {
      const v = r * (columns + 1) + c;
      // The grid is jittered, so that two scans share no vertex.
      const x = -33 + (c + 0.5 * (random() - 0.5)) * scan.spacing;
      const y = -4 + (r + 0.5 * (random() - 0.5)) * scan.spacing;
      let z = palateHeight(x, y, scan.person);
      let nearest = Infinity;
      for (const [i, crown] of crowns.entries()) {
        const dx = x - crown[0];
        const dy = y - crown[1];
        const size = i < 3 || i > 10 ? 4.6 : 3.2;
        const d = Math.sqrt(dx * dx + dy * dy);
        nearest = Math.min(nearest, d);
        const dome = exp(-pow(d / size + 1e-12, 4));
        z -= dome * (9 + 0.7 * cos(dx * 1.1 + i) * cos(dy * 1.2));
      }
      inside[v] = nearest < 7.5 || Math.abs(x) < halfWidth(Math.max(0, y)) ? 1 : 0;
      let p: Vector3 = [x, y, z];
      if (scan.motion !== undefined) p = scan.motion(p);
      const noise = scan.noise * gaussian(random);
      p = [p[0], p[1], p[2] + noise];
      positions.set(scan.pose === undefined ? p : apply(scan.pose, p), 3 * v);
    }
  }
  const triangles: number[] = [];
  const add = (a: number, b: number, c: number) => {
    if (inside[a] && inside[b] && inside[c]) triangles.push(a, b, c);
  };
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      const a = r * (columns + 1) + c;
      const d = a + columns + 1;
      add(a, d + 1, a + 1);
      add(a, d, d + 1);
    }
  }
  return {
    positions,
    triangles: Uint32Array.from(triangles),
    fileTriangles: Uint32Array.from({ length: triangles.length / 3 }, (_, t) => t),
  };
}

/** A normal deviate (Box & Muller 1958). */
export function gaussian(random: () => number): number {
  const size = Math.sqrt(-2 * ln(1 - random()));
  return size * cos(2 * Math.PI * random());
}

/** A movement of the two halves of the palate as rigid bodies, blended over 3 mm to each side of the raphe. */
export function halvesMoved(right: RigidTransform, left: RigidTransform): (p: Vector3) => Vector3 {
  return (p) => {
    const share = Math.min(1, Math.max(0, (p[0] + 2) / 4));
    const a = apply(right, p);
    const b = apply(left, p);
    return [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]), a[2] + share * (b[2] - a[2])];
  };
}

/** Landmarks of an invented scan in file coordinates, each `off` mm away from the truth in a random direction. */
export function inventedMarks(scan: InventedScan, off = 0): Mark[] {
  const random = seededRandom(scan.seed + 1000);
  const marks: Mark[] = [];
  const add = (tooth: number | undefined, place: string, rest: Vector3, crown?: number) => {
    let p = rest;
    if (scan.motion !== undefined) p = scan.motion(p);
    if (crown !== undefined && scan.movedCrowns?.includes(crown)) p = [p[0] + 1.5 * Math.sign(p[0]), p[1], p[2]];
    if (scan.pose !== undefined) p = apply(scan.pose, p);
    const error: Vector3 = [gaussian(random), gaussian(random), gaussian(random)];
    const size = off / Math.hypot(...error);
    marks.push({ tooth, place, at: [p[0] + size * error[0], p[1] + size * error[1], p[2] + size * error[2]] });
  };
  for (const [i, crown] of CROWNS.entries()) {
    const tooth = i < 7 ? 17 - i : 14 + i;
    const place = tooth % 10 === 3 ? "cusp-tip" : tooth % 10 > 5 ? "mesiobuccal-cusp-tip" : "buccal-cusp-tip";
    if (tooth % 10 > 2) add(tooth, place, [crown[0], crown[1], palateHeight(crown[0], crown[1], scan.person) - 9.6], i);
    const share = 1 - 5.2 / Math.max(8, Math.hypot(crown[0], crown[1] - 18));
    const x = crown[0] * share;
    const y = 18 + (crown[1] - 18) * share;
    add(tooth, "palatal-gingival", [x, y, palateHeight(x, y, scan.person) - 1], i);
  }
  add(undefined, "incisive-papilla", [0, 7, palateHeight(0, 7, scan.person)]);
  for (const y of [14, 22, 30]) add(undefined, "median-raphe", [0, y, palateHeight(0, y, scan.person)]);
  return marks;
}
