import { apply, fromRotationVector, type RigidTransform } from "#core/geometry/rigid-transform";
import { addScaled, distance, scale, type Vector3 } from "#core/geometry/vector";
import { keepTriangles, vertexNormals } from "./mesh-parts";
import type { Random } from "./random";
import { spatialNoise } from "./spatial-noise";
import type { SurfaceMesh } from "./surface-nets";

/** What the scanner does to a surface. */
export interface ScannerTraits {
  /** Standard deviation of the noise along the normal, mm. */
  readonly noise: number;
  readonly holes: number;
  readonly fragments: number;
}

const vertexOf = (mesh: SurfaceMesh, v: number): Vector3 => [
  mesh.positions[v * 3]!,
  mesh.positions[v * 3 + 1]!,
  mesh.positions[v * 3 + 2]!,
];

/**
 * The surface as a scanner would give it: noise along the normal (a quarter of its variance correlated over 0.4 mm), ragged
 * holes at least 1.8 mm from the `spared` points, and small fragments that float off the surface.
 */
export function scanned(
  surface: SurfaceMesh,
  traits: ScannerTraits,
  spared: readonly Vector3[],
  random: Random,
): SurfaceMesh {
  const normals = vertexNormals(surface);
  const positions = surface.positions.slice();
  const seed = Math.floor(random.uniform() * 65536);
  // The interpolated noise has a mean variance of about 0.11.
  const shared = (traits.noise * Math.sqrt(0.25)) / Math.sqrt(0.11);
  for (let v = 0; v < positions.length; v += 3) {
    const [x, y, z] = [positions[v]!, positions[v + 1]!, positions[v + 2]!];
    const off =
      shared * spatialNoise(x / 0.4, y / 0.4, z / 0.4, seed) + traits.noise * Math.sqrt(0.75) * random.normal();
    for (let i = 0; i < 3; i++) positions[v + i] = positions[v + i]! + off * normals[v + i]!;
  }
  const noisy: SurfaceMesh = { positions, triangles: surface.triangles };
  const count = positions.length / 3;
  const holes: { at: Vector3; radius: number }[] = [];
  while (holes.length < traits.holes) {
    const at = vertexOf(noisy, Math.floor(random.uniform() * count));
    const radius = random.between(0.45, 1.0);
    if (spared.every((p) => distance(p, at) > radius * 1.4 + 1.5)) holes.push({ at, radius });
  }
  const inHole = (p: Vector3) =>
    holes.some(({ at, radius }, n) => {
      const d = distance(at, p);
      return (
        d < radius * 1.5 && d < radius * (1 + 0.45 * spatialNoise(p[0] * 2.2, p[1] * 2.2, p[2] * 2.2 + n, seed + 1))
      );
    });
  const holed = keepTriangles(noisy, (t) => {
    const [a, b, c] = [0, 1, 2].map((i) => vertexOf(noisy, noisy.triangles[t * 3 + i]!)) as [Vector3, Vector3, Vector3];
    return !inHole([(a[0] + b[0] + c[0]) / 3, (a[1] + b[1] + c[1]) / 3, (a[2] + b[2] + c[2]) / 3]);
  });
  return withFragments(holed, noisy, normals, traits.fragments, random);
}

function withFragments(
  mesh: SurfaceMesh,
  source: SurfaceMesh,
  normals: Float64Array,
  fragments: number,
  random: Random,
): SurfaceMesh {
  const positions = Array.from(mesh.positions);
  const triangles = Array.from(mesh.triangles);
  for (let n = 0; n < fragments; n++) {
    const v = Math.floor((random.uniform() * source.positions.length) / 3);
    const at = vertexOf(source, v);
    const away = random.between(1.5, 3.5);
    const shift = scale([normals[v * 3]!, normals[v * 3 + 1]!, normals[v * 3 + 2]!], away);
    const turn = fromRotationVector(scale(random.direction(), random.between(0.3, 1.2)), shift, at);
    const radius = random.between(0.5, 0.9);
    const piece = keepTriangles(source, (t) =>
      [0, 1, 2].every((i) => distance(vertexOf(source, source.triangles[t * 3 + i]!), at) < radius),
    );
    const first = positions.length / 3;
    for (let w = 0; w < piece.positions.length / 3; w++) {
      positions.push(...addScaled(apply(turn, vertexOf(piece, w)), random.inBall(0.06), 1));
    }
    for (const w of piece.triangles) triangles.push(first + w);
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

/** An arbitrary pose: any rotation, up to 60 mm of shift. */
export function arbitraryPose(random: Random): RigidTransform {
  return fromRotationVector(scale(random.direction(), random.between(0.3, 2.8)), random.inBall(60));
}

/** The mesh carried by a rigid motion, its coordinates rounded to single precision as in the files. */
export function posed(mesh: SurfaceMesh, pose: RigidTransform): SurfaceMesh {
  const positions = new Float64Array(mesh.positions.length);
  for (let v = 0; v < positions.length; v += 3) {
    const q = apply(pose, vertexOf(mesh, v / 3));
    for (let i = 0; i < 3; i++) positions[v + i] = Math.fround(q[i]!);
  }
  return { positions, triangles: mesh.triangles };
}
