import type { RigidTransform } from "../../geometry/rigid-transform";
import { nextHalfEdge, oppositeHalfEdges } from "../../mesh/edges";
import type { TriangleMesh } from "../../mesh/triangle-mesh";
import { vertexNormals } from "../../mesh/vertex-normals";
import { type Camera, type SeenVertices, seen, seenDirections } from "./camera";
import { creaseStrokes } from "./crease";
import { type DepthBuffer, drawDepth } from "./depth-buffer";
import { SampleReader } from "./samples";

/** Straight pieces of line in a picture: column and row of both ends in pixels, four numbers each. */
export type Strokes = Float64Array;

/** A surface by its lines alone. */
export interface Outline {
  /** Where it turns away from the eye, and where it ends. */
  readonly outlines: Strokes;
  /** Where it folds inwards: the gingival margin, fissures. */
  readonly creases: Strokes;
}

/** How far behind the nearest surface a line may lie and still be seen, mm. */
const BIAS = 0.25;
/** Lines that are seen over a shorter way are noise of the scan or its holes, mm. */
const SHORTEST = 4;

interface Piece {
  readonly fromEdge: number;
  readonly toEdge: number;
  readonly ends: readonly [number, number, number, number];
  readonly length: number;
}

/**
 * The lines that show a surface without its shading: where it turns away from the eye, where it ends, where it folds.
 * The turning is the zero set of normal · view, interpolated over each triangle (Hertzmann & Zorin 2000, SIGGRAPH,
 * 517), which runs smoothly where edges of the mesh would zigzag. Lines hidden by the surface itself are left out.
 */
export function outlineOf(
  mesh: TriangleMesh,
  toFrame: RigidTransform,
  camera: Camera,
  width: number,
  height: number,
  polled: () => void = () => {},
): Outline {
  const vertices = seen(camera, width, height, mesh.positions, toFrame, 1);
  const buffer = drawDepth(vertices, mesh.triangles, width, height, polled);
  const opposite = oppositeHalfEdges(mesh);
  const lessNoisy = smoothed(mesh, seenDirections(camera, vertexNormals(mesh), toFrame), 1);
  const normals = smoothed(mesh, lessNoisy, 2);
  const facing = Float64Array.from({ length: normals.length / 3 }, (_, v) => normals[3 * v + 2]!);
  const pieces = [
    ...turningPieces(mesh, opposite, facing, vertices, buffer, camera),
    ...borderPieces(mesh, opposite, vertices, buffer, camera),
  ];
  return {
    outlines: Float64Array.from(longOnes(pieces, mesh.triangles.length).flatMap((p) => p.ends)),
    creases: creaseStrokes(
      buffer,
      normalsSeen(buffer, new SampleReader(vertices, mesh.triangles, lessNoisy)),
      camera.millimetresPerPixel,
    ),
  };
}

/** Right, up, towards the eye at each pixel that shows something. */
function normalsSeen({ width, height, triangle }: DepthBuffer, seenAt: SampleReader): Float32Array {
  const normals = new Float32Array(3 * width * height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const at = y * width + x;
      if (triangle[at]! < 0) continue;
      seenAt.read(x, y, triangle[at]!);
      normals[3 * at] = seenAt.x;
      normals[3 * at + 1] = seenAt.y;
      normals[3 * at + 2] = seenAt.z;
    }
  }
  return normals;
}

/** Normals averaged over their surroundings, some rounds long, against scanner noise. */
function smoothed(mesh: TriangleMesh, directions: Float64Array, rounds: number): Float64Array {
  let normals = directions;
  for (let round = 0; round < rounds; round++) {
    const sums = new Float64Array(normals.length);
    for (let t = 0; t < mesh.triangles.length; t += 3) {
      const [a, b, c] = [3 * mesh.triangles[t]!, 3 * mesh.triangles[t + 1]!, 3 * mesh.triangles[t + 2]!];
      for (let k = 0; k < 3; k++) {
        const sum = normals[a + k]! + normals[b + k]! + normals[c + k]!;
        sums[a + k]! += sum;
        sums[b + k]! += sum;
        sums[c + k]! += sum;
      }
    }
    for (let i = 0; i < sums.length; i += 3) {
      const l = Math.sqrt(sums[i]! * sums[i]! + sums[i + 1]! * sums[i + 1]! + sums[i + 2]! * sums[i + 2]!) || 1;
      sums[i]! /= l;
      sums[i + 1]! /= l;
      sums[i + 2]! /= l;
    }
    normals = sums;
  }
  return normals;
}

/** The line's name of the edge that a half-edge lies on. */
const edgeOf = (h: number, opposite: Int32Array): number => {
  const other = opposite[h]!;
  return other >= 0 && other < h ? other : h;
};

function turningPieces(
  mesh: TriangleMesh,
  opposite: Int32Array,
  facing: Float64Array,
  vertices: SeenVertices,
  buffer: DepthBuffer,
  camera: Camera,
): Piece[] {
  const pieces: Piece[] = [];
  const { column, row, depth } = vertices;
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const crossed: { edge: number; x: number; y: number; z: number }[] = [];
    for (let h = t; h < t + 3; h++) {
      const from = mesh.triangles[h]!;
      const to = mesh.triangles[nextHalfEdge(h)]!;
      const a = facing[from]!;
      const b = facing[to]!;
      if (a > 0 === b > 0) continue;
      const s = a / (a - b);
      crossed.push({
        edge: edgeOf(h, opposite),
        x: column[from]! + s * (column[to]! - column[from]!),
        y: row[from]! + s * (row[to]! - row[from]!),
        z: depth[from]! + s * (depth[to]! - depth[from]!),
      });
    }
    const [p, q] = crossed;
    if (p === undefined || q === undefined) continue;
    if (!isSeen(buffer, (p.x + q.x) / 2, (p.y + q.y) / 2, (p.z + q.z) / 2)) continue;
    const length = Math.hypot(p.x - q.x, p.y - q.y) * camera.millimetresPerPixel;
    pieces.push({ fromEdge: p.edge, toEdge: q.edge, ends: [p.x, p.y, q.x, q.y], length });
  }
  return pieces;
}

function borderPieces(
  mesh: TriangleMesh,
  opposite: Int32Array,
  vertices: SeenVertices,
  buffer: DepthBuffer,
  camera: Camera,
): Piece[] {
  const pieces: Piece[] = [];
  const { column, row, depth } = vertices;
  // Border edges meet at vertices, not at edges: their names follow after those of the edges.
  const nameOf = (vertex: number) => mesh.triangles.length + vertex;
  for (let h = 0; h < mesh.triangles.length; h++) {
    if (opposite[h]! >= 0) continue;
    const from = mesh.triangles[h]!;
    const to = mesh.triangles[nextHalfEdge(h)]!;
    const ends = [column[from]!, row[from]!, column[to]!, row[to]!] as const;
    if (!isSeen(buffer, (ends[0] + ends[2]) / 2, (ends[1] + ends[3]) / 2, (depth[from]! + depth[to]!) / 2)) continue;
    const length = Math.hypot(ends[0] - ends[2], ends[1] - ends[3]) * camera.millimetresPerPixel;
    pieces.push({ fromEdge: nameOf(from), toEdge: nameOf(to), ends, length });
  }
  return pieces;
}

/**
 * Whether a point of the surface is seen. At a turning line one side falls away steeply within a pixel, so the point
 * counts as seen if anywhere in the nine pixels around it nothing lies before it.
 */
function isSeen(buffer: DepthBuffer, x: number, y: number, z: number): boolean {
  const column = Math.floor(x);
  const row = Math.floor(y);
  for (let dy = -1; dy <= 1; dy++) {
    for (let dx = -1; dx <= 1; dx++) {
      const qx = column + dx;
      const qy = row + dy;
      if (qx < 0 || qy < 0 || qx >= buffer.width || qy >= buffer.height) continue;
      if (buffer.depth[qy * buffer.width + qx]! <= z + BIAS) return true;
    }
  }
  return false;
}

/** The pieces whose connected line is long enough, found by joining the names of their ends (union–find, Tarjan 1975). */
function longOnes(pieces: readonly Piece[], edges: number): Piece[] {
  const root = new Map<number, number>();
  const find = (name: number): number => {
    let at = name;
    for (let up = root.get(at); up !== undefined && up !== at; up = root.get(at)) {
      root.set(at, root.get(up) ?? up);
      at = up;
    }
    return at;
  };
  for (const p of pieces) {
    const a = find(p.fromEdge);
    const b = find(p.toEdge);
    root.set(Math.max(a, b), Math.min(a, b));
  }
  const total = new Map<number, number>();
  for (const p of pieces) {
    const name = find(p.fromEdge);
    total.set(name, (total.get(name) ?? 0) + p.length);
  }
  // The border of a hole is a closed line; only one that is much longer than a hole's is the trimmed border.
  return pieces.filter((p) => total.get(find(p.fromEdge))! >= (p.fromEdge >= edges ? 3 * SHORTEST : SHORTEST));
}

/**
 * How much of each pixel a line of this width covers, 0 to 1.
 * @param strokes as `outlineOf` gives them
 * @param lineWidth pixels
 */
export function strokeCoverage(strokes: Strokes, lineWidth: number, width: number, height: number): Float32Array {
  const cover = new Float32Array(width * height);
  const reach = lineWidth / 2 + 0.5;
  for (let i = 0; i < strokes.length; i += 4) {
    const ax = strokes[i]!;
    const ay = strokes[i + 1]!;
    const ux = strokes[i + 2]! - ax;
    const uy = strokes[i + 3]! - ay;
    const square = ux * ux + uy * uy;
    const left = Math.max(0, Math.floor(Math.min(ax, ax + ux) - reach));
    const right = Math.min(width - 1, Math.ceil(Math.max(ax, ax + ux) + reach));
    const top = Math.max(0, Math.floor(Math.min(ay, ay + uy) - reach));
    const bottom = Math.min(height - 1, Math.ceil(Math.max(ay, ay + uy) + reach));
    for (let y = top; y <= bottom; y++) {
      for (let x = left; x <= right; x++) {
        const px = x + 0.5 - ax;
        const py = y + 0.5 - ay;
        const s = square === 0 ? 0 : Math.min(1, Math.max(0, (px * ux + py * uy) / square));
        const dx = px - s * ux;
        const dy = py - s * uy;
        const share = Math.fround(Math.min(1, reach - Math.sqrt(dx * dx + dy * dy)));
        if (share > cover[y * width + x]!) cover[y * width + x] = share;
      }
    }
  }
  return cover;
}
