import { exp } from "#core/geometry/real";
import { cross, length, subtract, type Vector3 } from "#core/geometry/vector";
import type { Random } from "../../../sample-meshes/generator/random";
import type { SurfaceMesh } from "../../../sample-meshes/generator/surface-nets";

/** Scanner figures, mm a scan: of a width at the canines, at the first molars, locally (see DEFAULT_SETTINGS). */
export interface ScannerFigures {
  readonly atCanines: number;
  readonly atMolars: number;
  readonly local: number;
}

/** Where an arch lies: +x to the patient's left, +y to the back, +z to the head, the median plane at x = 0, mm. */
export interface ArchPlaces {
  readonly canines: number;
  readonly molars: number;
  /** Height of the crowns' middle, half way from the cusps to the gingival margin. */
  readonly height: number;
  /** Middle of each crown, and how high it reaches: its gingival margin. */
  readonly crowns: readonly { readonly middle: Vector3; readonly margin: number }[];
}

/** Where a scan shows a point, for its true place. */
export type Displacement = (p: Vector3) => Vector3;

/** Half width of the strip along the median plane in which one side's error passes into the other's, mm. */
const STRIP = 3.5;
/** What lies nearer to a crown's middle, and not above its margin, goes with the crown, mm. */
const CROWN_REACH = 6.5;
/** Over this height a crown's own displacement passes into that of its half, mm. */
const PASSAGE = 0.3;

/**
 * The displacement that one scan makes, drawn anew for each. A scanner joins many small pictures: what it saw together it
 * shows rightly, what lies apart along the arch is off. So each side of the arch is carried as one piece, and left
 * against right is off by
 * - a shift across with the figure at the canines, growing to the back to that at the molars, fully correlated. This
 *   growth is a turn about the head's direction; the turns about the two other directions are as large, independent;
 * - locally, every crown and each half of the palate by itself, so that the two crowns of a width are off by `local`.
 */
export function drawnDisplacement(figures: ScannerFigures, places: ArchPlaces, random: Random): Displacement {
  const slope = (figures.atMolars - figures.atCanines) / (places.molars - places.canines);
  const together = random.normal();
  const shift = figures.atCanines * together;
  // Wider to the back: the left side turns from back to left.
  const turn: Vector3 = [slope * random.normal(), slope * random.normal(), -slope * together];
  const each = figures.local / Math.SQRT2;
  const piece = (): Vector3 => [each * random.normal(), each * random.normal(), each * random.normal()];
  const [right, left] = [piece(), piece()];
  const crowns = places.crowns.map((crown) => ({ ...crown, off: piece() }));
  return (p) => {
    const t = Math.min(1, Math.max(-1, p[0] / STRIP));
    const side = 0.5 * t * (3 - t * t);
    const turned = cross(turn, [p[0], p[1] - places.canines, p[2] - places.height]);
    let weights = exp((-CROWN_REACH * CROWN_REACH) / 2);
    const ofHalf = (k: 0 | 1 | 2) => 0.5 * weights * ((1 - side) * right[k] + (1 + side) * left[k]);
    const local = [ofHalf(0), ofHalf(1), ofHalf(2)];
    for (const { middle, margin, off } of crowns) {
      const [x, y, z] = [p[0] - middle[0], p[1] - middle[1], p[2] - middle[2]];
      const squared = x * x + y * y + z * z;
      if (squared > 100) continue;
      const w = exp(-squared / 2) / (1 + exp((p[2] - margin - 1) / PASSAGE));
      weights += w;
      for (let k = 0; k < 3; k++) local[k]! += w * off[k]!;
    }
    // Each side takes half of what left is off against right.
    return [
      p[0] + 0.5 * side * (shift + turned[0]) + local[0]! / weights,
      p[1] + 0.5 * side * turned[1] + local[1]! / weights,
      p[2] + 0.5 * side * turned[2] + local[2]! / weights,
    ];
  };
}

/** Noise of a scanner on one surface. */
export interface NoiseMaker {
  /** Numbers per vertex, noise of standard deviation 1, alike over about a square millimetre. */
  draw(random: Random): Float64Array;
}

/**
 * Noise that is alike over about a square millimetre everywhere on the surface: every vertex takes part of its
 * neighbours' own numbers, as much as makes the sum of all correlations with it, times the area that a vertex stands for
 * around it, 1 mm². Where vertices lie farther apart than that their noise is independent.
 */
export function noiseMaker(mesh: SurfaceMesh): NoiseMaker {
  const count = mesh.positions.length / 3;
  const pairs = new Set<number>();
  for (let h = 0; h < mesh.triangles.length; h++) {
    const a = mesh.triangles[h]!;
    const b = mesh.triangles[h % 3 === 2 ? h - 2 : h + 1]!;
    pairs.add(a < b ? a * count + b : b * count + a);
  }
  const edges = Uint32Array.from([...pairs].flatMap((key) => [Math.floor(key / count), key % count]));
  const own = vertexAreas(mesh);
  const around = own.slice();
  const valence = new Float64Array(count);
  for (let i = 0; i < edges.length; i += 2) {
    const [a, b] = [edges[i]!, edges[i + 1]!];
    valence[a]!++;
    valence[b]!++;
    around[a]! += own[b]!;
    around[b]! += own[a]!;
  }
  const shares = around.map((sum, v) => shareOf(valence[v]!, sum / (1 + valence[v]!)));
  return {
    draw(random) {
      const numbers = Float64Array.from({ length: count }, () => random.normal());
      const out = numbers.slice();
      for (let i = 0; i < edges.length; i += 2) {
        const [a, b] = [edges[i]!, edges[i + 1]!];
        out[a]! += shares[a]! * numbers[b]!;
        out[b]! += shares[b]! * numbers[a]!;
      }
      return out.map((value, v) => value / Math.sqrt(1 + valence[v]! * shares[v]! * shares[v]!));
    },
  };
}

/** How much of its neighbours' numbers makes (1 + v·w)² / (1 + v·w²) vertices of that area 1 mm² together; by halving. */
function shareOf(valence: number, area: number): number {
  let [low, high] = [0, 1];
  for (let round = 0; round < 40; round++) {
    const w = (low + high) / 2;
    if (((1 + valence * w) * (1 + valence * w) * area) / (1 + valence * w * w) < 1) low = w;
    else high = w;
  }
  return low;
}

/** A third of the area of the triangles around each vertex, mm². */
function vertexAreas({ positions, triangles }: SurfaceMesh): Float64Array {
  const areas = new Float64Array(positions.length / 3);
  const at = (v: number): Vector3 => [positions[3 * v]!, positions[3 * v + 1]!, positions[3 * v + 2]!];
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!];
    const third = length(cross(subtract(at(b), at(a)), subtract(at(c), at(a)))) / 6;
    for (const v of [a, b, c]) areas[v]! += third;
  }
  return areas;
}
