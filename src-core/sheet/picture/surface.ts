import type { RigidTransform } from "../../geometry/rigid-transform";
import type { TriangleMesh } from "../../mesh/triangle-mesh";
import { vertexNormals } from "../../mesh/vertex-normals";
import { type Camera, type SeenVertices, seen, seenDirections } from "./camera";
import { linearOf, type Triple } from "./colour";
import { distanceTable } from "./colour-map";
import { type DepthBuffer, drawDepth } from "./depth-buffer";
import { occlusion, type SeenSurface } from "./occlusion";
import { SampleReader } from "./samples";

/** The colour of a surface: plaster, or the signed distance of each vertex (mm, NaN: no value) up to ± limit (mm). */
export type SurfaceColours = "plaster" | { readonly distances: ArrayLike<number>; readonly limit: number };

/** A drawn surface: linear light premultiplied by alpha, three numbers a pixel, and alpha. */
export interface ShadedSurface {
  readonly colour: Float32Array;
  readonly alpha: Float32Array;
}

/** Samples along one side of a pixel. */
const FINER = 2;

const PLASTER = linearOf("#ecdfca");
const HOLLOW = linearOf("#8d7a66");
const INSIDE = linearOf("#b9b6b0");
const HATCH = [linearOf("#c9c8c4"), linearOf("#a3a29e")] as const;

/** Towards the main light, from above left: right, up, towards the eye; length 1. */
const LIGHT: Triple = [-0.4, 0.55, Math.sqrt(1 - 0.4 * 0.4 - 0.55 * 0.55)];
/** Half way between light and eye, for the sheen. */
const HALF: Triple = (() => {
  const [x, y, z] = [LIGHT[0], LIGHT[1], LIGHT[2] + 1];
  const l = Math.sqrt(x * x + y * y + z * z);
  return [x / l, y / l, z / l];
})();

/** What a camera sees of a surface, whatever colour it will have. */
export interface SurfaceSight {
  /** Columns and rows in samples. */
  readonly vertices: SeenVertices;
  /** Normals of the vertices as the camera sees them. */
  readonly normals: Float64Array;
  readonly buffer: DepthBuffer;
  /** How open each pixel lies: 1 on a plain, 0 in a deep hollow. */
  readonly open: Float64Array;
}

/** Looks at a surface: what is in front, and how open it lies. */
export function surfaceSight(
  mesh: TriangleMesh,
  toFrame: RigidTransform,
  camera: Camera,
  width: number,
  height: number,
  polled: () => void,
): SurfaceSight {
  const vertices = seen(camera, width, height, mesh.positions, toFrame, FINER);
  const buffer = drawDepth(vertices, mesh.triangles, width * FINER, height * FINER, polled);
  const normals = seenDirections(camera, vertexNormals(mesh), toFrame);
  const pixels = nearestSamples(buffer, new SampleReader(vertices, mesh.triangles, normals), width, height);
  polled();
  const narrow = occlusion(pixels, 1.1 / camera.millimetresPerPixel, camera.millimetresPerPixel);
  polled();
  const wide = occlusion(pixels, 5 / camera.millimetresPerPixel, camera.millimetresPerPixel);
  polled();
  const open = new Float64Array(width * height);
  for (let p = 0; p < open.length; p++) open[p] = Math.max(0, 1 - 0.95 * narrow[p]! - 0.95 * wide[p]!);
  return { vertices, normals, buffer, open };
}

/** Draws a surface that is seen: diffuse light, a little sheen, darker hollows, its inside in grey. */
export function shadeSurface(
  { triangles }: TriangleMesh,
  { vertices, normals, buffer, open: openness }: SurfaceSight,
  colours: SurfaceColours,
): ShadedSurface {
  const width = buffer.width / FINER;
  const height = buffer.height / FINER;
  const colour = new Float32Array(3 * width * height);
  const alpha = new Float32Array(width * height);
  const map = colours === "plaster" ? null : distanceTable();
  const seenAt = new SampleReader(vertices, triangles, normals);
  const sample = [0, 0, 0];
  for (let y = 0; y < buffer.height; y++) {
    for (let x = 0; x < buffer.width; x++) {
      const t = buffer.triangle[y * buffer.width + x]!;
      if (t < 0) continue;
      const pixel = Math.floor(y / FINER) * width + Math.floor(x / FINER);
      seenAt.read(x, y, t);
      const open = openness[pixel]!;
      const light = lightOn(seenAt.x, seenAt.y, seenAt.z, open);
      if (map === null || colours === "plaster") {
        const base = seenAt.behind ? INSIDE : PLASTER;
        const gloss = seenAt.behind ? 0 : sheen(seenAt.x, seenAt.y, seenAt.z) * open;
        for (let c = 0; c < 3; c++) {
          // Shadows turn warmer instead of merely darker: plaster lets light through.
          const shade = base[c]! * (0.78 + 0.22 * open) + HOLLOW[c]! * 0.22 * (1 - open);
          sample[c] = shade * light + gloss;
        }
      } else {
        const value = valueAt(triangles, t, seenAt, colours.distances);
        const soft = 0.5 + 0.5 * light;
        if (Number.isNaN(value)) {
          const stripe = HATCH[(x + y) % (8 * FINER) < 2.5 * FINER ? 1 : 0]!;
          for (let c = 0; c < 3; c++) sample[c] = stripe[c]! * soft;
        } else {
          const row = map.row(value / colours.limit);
          for (let c = 0; c < 3; c++) sample[c] = map.table[row + c]! * soft;
        }
      }
      const part = 1 / (FINER * FINER);
      for (let c = 0; c < 3; c++) colour[3 * pixel + c]! += Math.min(1, sample[c]!) * part;
      alpha[pixel]! += part;
    }
  }
  return { colour, alpha };
}

/** Diffuse light on a place: the main light, light from all around where the place is open, less at grazing sight. */
function lightOn(nx: number, ny: number, nz: number, open: number): number {
  const main = Math.max(0, nx * LIGHT[0] + ny * LIGHT[1] + nz * LIGHT[2]);
  const around = 0.5 + 0.5 * ny * 0.5 + 0.25 * nz;
  const facing = 0.7 + 0.3 * Math.max(0, nz);
  return (0.62 * main * (0.45 + 0.55 * open) + 0.5 * around * open) * facing;
}

/** The soft reflex of the main light: (n · half)^32, by five squarings. */
function sheen(nx: number, ny: number, nz: number): number {
  let s = Math.max(0, nx * HALF[0] + ny * HALF[1] + nz * HALF[2]);
  for (let i = 0; i < 5; i++) s *= s;
  return 0.07 * s;
}

/** The value at a sample: interpolated, or the nearest corner's where one of the three has none. */
function valueAt(
  triangles: Uint32Array,
  t: number,
  { second: s, third: r }: SampleReader,
  values: ArrayLike<number>,
): number {
  const q = 1 - s - r;
  const a = values[triangles[3 * t]!]!;
  const b = values[triangles[3 * t + 1]!]!;
  const c = values[triangles[3 * t + 2]!]!;
  const mixed = q * a + s * b + r * c;
  if (!Number.isNaN(mixed)) return mixed;
  return q >= s && q >= r ? a : s >= r ? b : c;
}

/** Depth and normal of each pixel: the nearest of its samples, so that an edge does not mix front and back. */
function nearestSamples(buffer: DepthBuffer, seenAt: SampleReader, width: number, height: number): SeenSurface {
  const depth = new Float32Array(width * height).fill(-Infinity);
  const normals = new Float32Array(3 * width * height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const pixel = y * width + x;
      let nearest = -1;
      for (let i = 0; i < FINER * FINER; i++) {
        const at = (FINER * y + Math.floor(i / FINER)) * buffer.width + FINER * x + (i % FINER);
        if (!(buffer.depth[at]! > depth[pixel]!)) continue;
        depth[pixel] = buffer.depth[at]!;
        nearest = at;
      }
      if (nearest < 0) continue;
      seenAt.read(nearest % buffer.width, Math.floor(nearest / buffer.width), buffer.triangle[nearest]!);
      normals[3 * pixel] = seenAt.x;
      normals[3 * pixel + 1] = seenAt.y;
      normals[3 * pixel + 2] = seenAt.z;
    }
  }
  return { width, height, depth, normals };
}
