import { seededRandom } from "../geometry/seeded-random";
import { triangleArea } from "./triangle-area";
import { type TriangleMesh, triangleCount } from "./triangle-mesh";

/** Points spread over a surface. */
export interface SurfaceSample {
  /** x, y, z per point, mm. */
  readonly positions: Float64Array;
  /** Triangle each point lies on, ascending. */
  readonly triangles: Uint32Array;
  /** Weights of the three corners, 3 per point, sum 1: for values that are given at vertices. */
  readonly weights: Float64Array;
  /** Area the points stand for, mm². */
  readonly area: number;
}

/**
 * Points spread evenly by area: the surface, laid out triangle after triangle, is cut into `count` equal parts and one
 * point drawn from each (stratified), uniformly in its triangle (Turk 1990, Graphics Gems 24). Equal seeds give equal
 * points.
 * @param region per vertex, 0 = leave out; a triangle counts if all three corners do. The whole surface if left out.
 * @returns no points where the region has no area
 */
export function sampleSurface(mesh: TriangleMesh, count: number, seed: number, region?: Uint8Array): SurfaceSample {
  const { positions, triangles } = mesh;
  const { areas, area } = regionAreas(mesh, region);
  const points = area > 0 ? count : 0;
  const sample = {
    positions: new Float64Array(3 * points),
    triangles: new Uint32Array(points),
    weights: new Float64Array(3 * points),
    area,
  };
  const random = seededRandom(seed);
  let triangle = 0;
  let passed = areas[0] ?? 0;
  for (let i = 0; i < points; i++) {
    const at = ((i + random()) / points) * area;
    while (passed < at && triangle < areas.length - 1) passed += areas[++triangle]!;
    // Rounding of the sums may run past the last triangle with an area.
    while (areas[triangle] === 0) triangle--;
    const root = Math.sqrt(random());
    const share = random();
    const weights = [1 - root, root * (1 - share), root * share] as const;
    sample.triangles[i] = triangle;
    for (let corner = 0; corner < 3; corner++) {
      const v = 3 * triangles[3 * triangle + corner]!;
      const w = weights[corner]!;
      sample.weights[3 * i + corner] = w;
      for (let k = 0; k < 3; k++) sample.positions[3 * i + k]! += w * positions[v + k]!;
    }
  }
  return sample;
}

/** Area of the region, mm². */
export const regionArea = (mesh: TriangleMesh, region?: Uint8Array): number => regionAreas(mesh, region).area;

function regionAreas(mesh: TriangleMesh, region: Uint8Array | undefined): { areas: Float64Array; area: number } {
  const { triangles } = mesh;
  const areas = new Float64Array(triangleCount(mesh));
  let area = 0;
  for (let t = 0; t < areas.length; t++) {
    if (
      region !== undefined &&
      !(region[triangles[3 * t]!]! && region[triangles[3 * t + 1]!]! && region[triangles[3 * t + 2]!]!)
    ) {
      continue;
    }
    areas[t] = triangleArea(mesh, t);
    area += areas[t]!;
  }
  return { areas, area };
}
