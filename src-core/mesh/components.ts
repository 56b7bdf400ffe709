import { type JobControl, UNWATCHED } from "../job-control";
import { poll } from "./polling";
import { triangleArea } from "./triangle-area";
import { type TriangleMesh, triangleCount, vertexCount } from "./triangle-mesh";

/** The connected components of a mesh: triangles hang together where they share a vertex. */
export interface Components {
  /** For each triangle the number of its component; components are numbered in order of their first triangle. */
  readonly ofTriangle: Uint32Array;
  /** Surface area of each component, mm². */
  readonly areas: Float64Array;
}

/** Finds the connected components. */
export function connectedComponents(mesh: TriangleMesh, job: JobControl = UNWATCHED): Components {
  const { triangles } = mesh;
  const count = triangleCount(mesh);
  const parent = new Int32Array(vertexCount(mesh));
  for (let v = 0; v < parent.length; v++) parent[v] = v;
  const root = (v: number): number => {
    let r = v;
    while (parent[r] !== r) {
      // Path halving (R. E. Tarjan and J. van Leeuwen 1984).
      parent[r] = parent[parent[r]!]!;
      r = parent[r]!;
    }
    return r;
  };
  const join = (a: number, b: number): void => {
    const x = root(a);
    const y = root(b);
    // The smaller number stays root, whatever the order of triangles.
    if (x < y) parent[y] = x;
    else parent[x] = y;
  };
  for (let t = 0; t < count; t++) {
    poll(job, t);
    join(triangles[3 * t]!, triangles[3 * t + 1]!);
    join(triangles[3 * t]!, triangles[3 * t + 2]!);
  }
  const numbers = new Int32Array(parent.length).fill(-1);
  const ofTriangle = new Uint32Array(count);
  let found = 0;
  for (let t = 0; t < count; t++) {
    poll(job, t);
    const r = root(triangles[3 * t]!);
    if (numbers[r]! < 0) numbers[r] = found++;
    ofTriangle[t] = numbers[r]!;
  }
  const areas = new Float64Array(found);
  for (let t = 0; t < count; t++) {
    poll(job, t);
    areas[ofTriangle[t]!]! += triangleArea(mesh, t);
  }
  return { ofTriangle, areas };
}

/** A mesh cut in two: what is measured on, and what floats beside it. */
export interface SetAside {
  readonly main: TriangleMesh;
  readonly fragments: TriangleMesh | null;
  /** For each vertex of `main` its number in the whole mesh. */
  readonly mainVertices: Uint32Array | null;
  readonly components: number;
  /** How many components belong to `main`. */
  readonly mainComponents: number;
}

/** Components below this share of the largest one's area are fragments. A convention, no source. */
export const FRAGMENT_SHARE = 0.1;

/**
 * Sets floating fragments aside: every component with less than a tenth of the largest one's area. Larger ones stay, since
 * an arch may be scanned in pieces. Order of triangles and vertices stays.
 */
export function setFragmentsAside(mesh: TriangleMesh, job: JobControl = UNWATCHED): SetAside {
  const { ofTriangle, areas } = connectedComponents(mesh, job);
  let largest = 0;
  for (const area of areas) largest = Math.max(largest, area);
  const isMain = Array.from(areas, (area) => area >= FRAGMENT_SHARE * largest);
  const mainComponents = isMain.filter(Boolean).length;
  const counts = { components: areas.length, mainComponents };
  if (mainComponents === areas.length) return { main: mesh, fragments: null, mainVertices: null, ...counts };
  const main = partOfMesh(mesh, (t) => isMain[ofTriangle[t]!]!, job);
  const rest = partOfMesh(mesh, (t) => !isMain[ofTriangle[t]!]!, job);
  return { main: main.mesh, fragments: rest.mesh, mainVertices: main.vertices, ...counts };
}

/** The chosen triangles as a mesh of their own, and for each of its vertices the number in the whole mesh. */
export function partOfMesh(
  mesh: TriangleMesh,
  chosen: (triangle: number) => boolean,
  job: JobControl = UNWATCHED,
): { mesh: TriangleMesh; vertices: Uint32Array } {
  const count = triangleCount(mesh);
  const numbers = new Int32Array(vertexCount(mesh));
  let taken = 0;
  for (let t = 0; t < count; t++) {
    poll(job, t);
    if (!chosen(t)) continue;
    taken++;
    for (let i = 0; i < 3; i++) numbers[mesh.triangles[3 * t + i]!] = 1;
  }
  let used = 0;
  for (let v = 0; v < numbers.length; v++) if (numbers[v] === 1) numbers[v] = ++used;
  const positions = new Float64Array(3 * used);
  const vertices = new Uint32Array(used);
  for (let v = 0; v < numbers.length; v++) {
    const to = numbers[v]! - 1;
    if (to < 0) continue;
    vertices[to] = v;
    for (let i = 0; i < 3; i++) positions[3 * to + i] = mesh.positions[3 * v + i]!;
  }
  const triangles = new Uint32Array(3 * taken);
  const fileTriangles = new Uint32Array(taken);
  let k = 0;
  for (let t = 0; t < count; t++) {
    poll(job, t);
    if (!chosen(t)) continue;
    for (let i = 0; i < 3; i++) triangles[3 * k + i] = numbers[mesh.triangles[3 * t + i]!]! - 1;
    fileTriangles[k++] = mesh.fileTriangles[t]!;
  }
  return { mesh: { positions, triangles, fileTriangles }, vertices };
}
