import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { BufferAttribute, BufferGeometry, Vector3 as ThreeVector } from "three";
import { MeshBVH, SAH } from "three-mesh-bvh";
import { archFrame, commonPlanePairs } from "#core/arch/arch-frame";
import { Marks } from "#core/arch/marks";
import { UNWATCHED } from "#core/job-control";
import { closestPoint, newClosestPoint } from "#core/mesh/closest-point";
import { nextHalfEdge } from "#core/mesh/edges";
import { buildPointTree, nearestPoint } from "#core/mesh/point-tree";
import { signedDistance, signedSurface } from "#core/mesh/signed-distance";
import { type Surface, surfaceOf } from "#core/mesh/surface";
import { type TriangleMesh, triangleCount, vertexCount } from "#core/mesh/triangle-mesh";
import { buildTriangleTree } from "#core/mesh/triangle-tree";
import { vertexNormals } from "#core/mesh/vertex-normals";
import { distanceMap } from "#core/registration/distance-map";
import type { ArchScan } from "#core/registration/halves-registration";
import { landmarkStart } from "#core/registration/landmark-start";
import { registerPalate } from "#core/registration/palate";
import { registrationSurface } from "#core/registration/registration-surface";
import { rigidIcp } from "#core/registration/rigid-icp";
import { bytesSource } from "#core/scan/byte-source";
import { takeIn } from "#core/scan/intake";
import type { BenchRow } from "./bench-row";
import { medianTime } from "./median";
import { QUERIES, queriesNear } from "./queries";

const FAN = resolve(import.meta.dirname, "../../sample-meshes/fan");

/** Every triangle cut into four: a scan of the size that a fine scanner gives, of the same surface. */
function subdivided(surface: Surface): TriangleMesh {
  const { mesh, opposite } = surface;
  const { positions, triangles } = mesh;
  const middles = new Uint32Array(triangles.length);
  const points = Array.from(positions);
  for (let h = 0; h < triangles.length; h++) {
    const other = opposite[h]!;
    if (other >= 0 && other < h) {
      middles[h] = middles[other]!;
      continue;
    }
    middles[h] = points.length / 3;
    const a = 3 * triangles[h]!;
    const b = 3 * triangles[nextHalfEdge(h)]!;
    for (let k = 0; k < 3; k++) points.push((positions[a + k]! + positions[b + k]!) / 2);
  }
  const finer: number[] = [];
  for (let t = 0; t < triangleCount(mesh); t++) {
    const [a, b, c] = [triangles[3 * t]!, triangles[3 * t + 1]!, triangles[3 * t + 2]!];
    const [ab, bc, ca] = [middles[3 * t]!, middles[3 * t + 1]!, middles[3 * t + 2]!];
    finer.push(a, ab, ca, ab, b, bc, ca, bc, c, ab, bc, ca);
  }
  return {
    positions: Float64Array.from(points),
    triangles: Uint32Array.from(finer),
    fileTriangles: Uint32Array.from({ length: finer.length / 3 }, (_, t) => Math.floor(t / 4)),
  };
}

/** Search structures on one mesh, ours and three-mesh-bvh's, with the largest difference of their distances. */
function searchRows(mesh: TriangleMesh): BenchRow[] {
  const triangles = triangleCount(mesh);
  const size = `${triangles} triangles`;
  const queries = queriesNear(mesh);
  const name = "three-mesh-bvh (SAH)";
  const perSecond = (count: number, unit: string, milliseconds: number) => ({
    count: count / (milliseconds / 1000),
    unit,
  });

  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(Float32Array.from(mesh.positions), 3));
  const theirBuild = (): MeshBVH => {
    geometry.setIndex(new BufferAttribute(mesh.triangles.slice(), 1));
    return new MeshBVH(geometry, { strategy: SAH });
  };
  const build = medianTime(() => buildTriangleTree(mesh));
  const theirBuildTime = medianTime(theirBuild);
  const theirs = theirBuild();
  const surface = signedSurface(surfaceOf(mesh));

  const found = newClosestPoint();
  const distances = new Float64Array(QUERIES);
  const closest = medianTime(() => {
    for (let i = 0; i < QUERIES; i++) {
      closestPoint(surface.tree, queries[3 * i]!, queries[3 * i + 1]!, queries[3 * i + 2]!, found);
      distances[i] = Math.sqrt(found.squaredDistance);
    }
  });
  const point = new ThreeVector();
  const answer = { point: new ThreeVector(), distance: 0, faceIndex: 0 };
  let difference = 0;
  const theirClosest = medianTime(() => {
    for (let i = 0; i < QUERIES; i++) {
      point.set(queries[3 * i]!, queries[3 * i + 1]!, queries[3 * i + 2]!);
      theirs.closestPointToPoint(point, answer);
      difference = Math.max(difference, Math.abs(answer.distance - distances[i]!));
    }
  });
  const signed = medianTime(() => {
    for (let i = 0; i < QUERIES; i++) {
      signedDistance(surface, queries[3 * i]!, queries[3 * i + 1]!, queries[3 * i + 2]!, 0, 0, 0, found);
    }
  });
  const pointBuild = medianTime(() => buildPointTree(mesh.positions));
  const points = buildPointTree(mesh.positions);
  const nearest = medianTime(() => {
    for (let i = 0; i < QUERIES; i++) nearestPoint(points, queries[3 * i]!, queries[3 * i + 1]!, queries[3 * i + 2]!);
  });
  const normals = medianTime(() => vertexNormals(mesh));
  return [
    {
      task: `triangle tree of ${size}`,
      milliseconds: build,
      perSecond: perSecond(triangles, "triangles", build),
      against: { name, milliseconds: theirBuildTime },
    },
    {
      task: `${QUERIES} closest points on ${size} (largest difference ${difference.toExponential(1)} mm)`,
      milliseconds: closest,
      perSecond: perSecond(QUERIES, "points", closest),
      against: { name, milliseconds: theirClosest },
    },
    {
      task: `${QUERIES} signed distances to ${size}`,
      milliseconds: signed,
      perSecond: perSecond(QUERIES, "points", signed),
    },
    {
      task: `point tree of ${vertexCount(mesh)} vertices`,
      milliseconds: pointBuild,
      perSecond: perSecond(vertexCount(mesh), "vertices", pointBuild),
    },
    {
      task: `${QUERIES} nearest vertices of ${vertexCount(mesh)}`,
      milliseconds: nearest,
      perSecond: perSecond(QUERIES, "points", nearest),
    },
    {
      task: `vertex normals of ${size}`,
      milliseconds: normals,
      perSecond: perSecond(triangles, "triangles", normals),
    },
  ];
}

/** Registration and distance map of two scans. */
function registrationRows(before: ArchScan, after: ArchScan): BenchRow[] {
  const triangles = triangleCount(before.surface.mesh) + triangleCount(after.surface.mesh);
  const start = landmarkStart(after.marks, before.marks, "The arch").transform;
  let iterations = 0;
  const icp = medianTime(() => {
    const fit = rigidIcp({
      moving: after.surface,
      fixed: before.surface,
      start,
      robustness: "tukey",
      name: "The arch",
      samples: 20_000,
    });
    iterations = fit.iterations;
  });
  const palate = medianTime(() => registerPalate(before, after));
  const whole = registerPalate(before, after).whole;
  if (whole.state === "failed") throw new Error(whole.error.problem);
  const { afterToBefore } = whole.fit;
  const map = medianTime(() => distanceMap(after.surface, before.surface, afterToBefore));
  const vertices = vertexCount(after.surface.mesh);
  const row = (task: string, milliseconds: number, count: number, unit: string): BenchRow => ({
    task,
    milliseconds,
    perSecond: { count: count / (milliseconds / 1000), unit },
  });
  return [
    row(`robust ICP of 20000 points on ${triangles} triangles, ${iterations} steps`, icp, triangles, "triangles"),
    row(`palate: whole and both halves, both ways round, on ${triangles} triangles`, palate, triangles, "triangles"),
    row(`distance map of ${vertices} vertices`, map, vertices, "vertices"),
  ];
}

/** Times of searching, registering and comparing surfaces: the sample scans, and the same cut four times finer. */
export async function benchRegistration(): Promise<BenchRow[]> {
  const marks = Marks.parse(JSON.parse(readFileSync(resolve(FAN, "marks-fan.json"), "utf8")));
  const scan = async (name: string, file: string): Promise<{ mesh: TriangleMesh; rest: Omit<ArchScan, "surface"> }> => {
    const { mesh } = await takeIn(bytesSource(file, readFileSync(resolve(FAN, file))), {}, UNWATCHED);
    const landmarks = marks.scans[name]!.landmarks;
    const { toFrame } = archFrame(landmarks, commonPlanePairs([landmarks]), name);
    return { mesh, rest: { toFrame, marks: landmarks, name } };
  };
  const before = await scan("before", "before.stl");
  const after = await scan("after", "after.ply");
  const fine = { before: subdivided(surfaceOf(before.mesh)), after: subdivided(surfaceOf(after.mesh)) };
  const ready = (mesh: TriangleMesh, rest: Omit<ArchScan, "surface">): ArchScan => ({
    ...rest,
    surface: registrationSurface(surfaceOf(mesh)),
  });
  return [
    ...searchRows(before.mesh),
    ...searchRows(fine.before),
    ...registrationRows(ready(before.mesh, before.rest), ready(after.mesh, after.rest)),
    ...registrationRows(ready(fine.before, before.rest), ready(fine.after, after.rest)),
  ];
}
