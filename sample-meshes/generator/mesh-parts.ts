import type { SurfaceMesh } from "./surface-nets";

/** The mesh of the triangles for which `keep` says so; vertices that no triangle uses are dropped. */
export function keepTriangles(mesh: SurfaceMesh, keep: (triangle: number) => boolean): SurfaceMesh {
  const { positions, triangles } = mesh;
  const numbers = new Int32Array(positions.length / 3).fill(-1);
  const kept: number[] = [];
  const keptPositions: number[] = [];
  for (let t = 0; t < triangles.length / 3; t++) {
    if (!keep(t)) continue;
    for (let c = 0; c < 3; c++) {
      const v = triangles[t * 3 + c]!;
      if (numbers[v]! < 0) {
        numbers[v] = keptPositions.length / 3;
        keptPositions.push(positions[v * 3]!, positions[v * 3 + 1]!, positions[v * 3 + 2]!);
      }
      kept.push(numbers[v]!);
    }
  }
  return { positions: Float64Array.from(keptPositions), triangles: Uint32Array.from(kept) };
}

/** The largest connected part of a mesh, by number of triangles. */
export function largestPart(mesh: SurfaceMesh): SurfaceMesh {
  const { positions, triangles } = mesh;
  const parent = Int32Array.from({ length: positions.length / 3 }, (_, i) => i);
  const root = (v: number) => {
    let r = v;
    while (parent[r] !== r) r = parent[r]!;
    for (let w = v; parent[w] !== r; ) {
      const next = parent[w]!;
      parent[w] = r;
      w = next;
    }
    return r;
  };
  for (let t = 0; t < triangles.length; t += 3) {
    const a = root(triangles[t]!);
    for (const v of [triangles[t + 1]!, triangles[t + 2]!]) {
      const b = root(v);
      if (a !== b) parent[b] = a;
    }
  }
  const sizes = new Map<number, number>();
  for (let t = 0; t < triangles.length; t += 3) {
    const r = root(triangles[t]!);
    sizes.set(r, (sizes.get(r) ?? 0) + 1);
  }
  let best = -1;
  let most = 0;
  for (const [r, n] of sizes) {
    if (n > most) {
      most = n;
      best = r;
    }
  }
  return keepTriangles(mesh, (t) => root(triangles[t * 3]!) === best);
}

/** Marks the vertices on an open border: ends of an edge that only one triangle has. */
export function borderVertices(mesh: SurfaceMesh): Uint8Array {
  const { triangles } = mesh;
  const count = mesh.positions.length / 3;
  const seen = new Map<number, number>();
  for (let t = 0; t < triangles.length; t += 3) {
    for (let c = 0; c < 3; c++) {
      const a = triangles[t + c]!;
      const b = triangles[t + ((c + 1) % 3)]!;
      const key = a < b ? a * count + b : b * count + a;
      seen.set(key, (seen.get(key) ?? 0) + 1);
    }
  }
  const border = new Uint8Array(count);
  for (const [key, times] of seen) {
    if (times !== 1) continue;
    border[Math.floor(key / count)] = 1;
    border[key % count] = 1;
  }
  return border;
}

/** Unit vertex normals, each the sum of its triangles' normals weighted by area. */
export function vertexNormals(mesh: SurfaceMesh): Float64Array {
  const { positions: p, triangles } = mesh;
  const normals = new Float64Array(p.length);
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    for (const v of [a, b, c]) {
      normals[v] = normals[v]! + nx;
      normals[v + 1] = normals[v + 1]! + ny;
      normals[v + 2] = normals[v + 2]! + nz;
    }
  }
  for (let v = 0; v < normals.length; v += 3) {
    const l = Math.sqrt(
      normals[v]! * normals[v]! + normals[v + 1]! * normals[v + 1]! + normals[v + 2]! * normals[v + 2]!,
    );
    if (l === 0) continue;
    normals[v] = normals[v]! / l;
    normals[v + 1] = normals[v + 1]! / l;
    normals[v + 2] = normals[v + 2]! / l;
  }
  return normals;
}
