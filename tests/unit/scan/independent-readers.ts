import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { readMeshNode } from "@itk-wasm/mesh-io";
import { parseSync } from "@loaders.gl/core";
import { PLYLoader as LoadersGlPly } from "@loaders.gl/ply";
import { BufferGeometry, type Mesh, type Object3D } from "three";
import { OBJLoader, PLYLoader, STLLoader } from "three-stdlib";

/** Readers of others, so that a file that our writers or tests make wrong does not pass because our reader is wrong too. */

export type FileKind = "stl" | "ply" | "obj";
export type ReaderName = "three-stdlib" | "loaders.gl" | "itk";

/** The triangles that a reader finds, corners in a row, in its order. Throws or gives nothing where it cannot read. */
type Reader = (bytes: Uint8Array) => number[][] | Promise<number[][]>;

const buffer = (bytes: Uint8Array): ArrayBuffer => bytes.slice().buffer;

/** Triangles of positions, three numbers each, and vertex numbers (in a row where there are none). */
function soupOfParts(positions: ArrayLike<number>, indices: ArrayLike<number> | null): number[][] {
  const corner = (i: number): number[] => {
    const at = 3 * (indices === null ? i : indices[i]!);
    return [positions[at]!, positions[at + 1]!, positions[at + 2]!];
  };
  const corners = indices === null ? positions.length / 3 : indices.length;
  return Array.from({ length: Math.floor(corners / 3) }, (_, t) => [0, 1, 2].flatMap((i) => corner(3 * t + i)));
}

const soupOfGeometry = (geometry: ReturnType<STLLoader["parse"]>): number[][] =>
  geometry.getAttribute("position") === undefined
    ? []
    : soupOfParts(geometry.getAttribute("position").array, geometry.index?.array ?? null);

/** three's OBJ loader gives a tree of objects; lines and points are none of ours. */
function soupOfObjects(root: Object3D): number[][] {
  const soup: number[][] = [];
  root.traverse((object) => {
    const { geometry, isMesh } = object as Mesh;
    if (isMesh && geometry instanceof BufferGeometry) soup.push(...soupOfGeometry(geometry as never));
  });
  return soup;
}

function loadersGlPly(bytes: Uint8Array): number[][] {
  const { attributes, indices } = parseSync(buffer(bytes), LoadersGlPly, { worker: false }) as {
    attributes: { POSITION?: { value: ArrayLike<number> } };
    indices?: { value: ArrayLike<number> };
  };
  return indices === undefined ? [] : soupOfParts(attributes.POSITION!.value, indices.value);
}

/** The Insight Toolkit, compiled to WebAssembly that lies in the package: it needs a file by name and no network. */
function itk(kind: FileKind): Reader {
  return async (bytes) => {
    const folder = await mkdtemp(join(tmpdir(), "raphe-itk-"));
    try {
      const file = join(folder, `scan.${kind}`);
      await writeFile(file, bytes);
      const { points, cells, cellBufferSize } = await readMeshNode(file);
      const soup: number[][] = [];
      // 32-bit numbers, also where the package announces 64-bit ones.
      const list = cells === null ? [] : Array.from(new Uint32Array(cells.buffer, cells.byteOffset, cellBufferSize));
      // Cell by cell: its kind, its number of corners, their numbers. Polygons are fans here.
      for (let at = 0; at < list.length; at += 2 + list[at + 1]!) {
        const corners = list.slice(at + 2, at + 2 + list[at + 1]!);
        const fan = corners.slice(2).flatMap((_, i) => [corners[0]!, corners[i + 1]!, corners[i + 2]!]);
        soup.push(...soupOfParts(points as Float32Array, fan));
      }
      return soup;
    } finally {
      await rm(folder, { recursive: true, force: true });
    }
  };
}

/** The readers that exist for each kind of file. */
export const READERS: Readonly<Record<FileKind, Readonly<Partial<Record<ReaderName, Reader>>>>> = {
  stl: { "three-stdlib": (bytes) => soupOfGeometry(new STLLoader().parse(buffer(bytes))), itk: itk("stl") },
  ply: {
    "three-stdlib": (bytes) => soupOfGeometry(new PLYLoader().parse(buffer(bytes))),
    "loaders.gl": loadersGlPly,
  },
  obj: {
    "three-stdlib": (bytes) => soupOfObjects(new OBJLoader().parse(new TextDecoder().decode(bytes)) as never),
    itk: itk("obj"),
  },
};

/** Triangles in single precision, each from its least corner on, in order: the same list for the same surface. */
export function canonical(soup: readonly (readonly number[])[]): string[] {
  return soup
    .map((triangle) => {
      const corners = [0, 3, 6].map((i) => triangle.slice(i, i + 3).map((value) => Math.fround(value) + 0));
      return [0, 1, 2].map((i) => [...corners.slice(i), ...corners.slice(0, i)].join(" ")).sort()[0]!;
    })
    .sort();
}

/** Least and greatest x, y and z. */
export function boundsOf(soup: readonly (readonly number[])[]): number[][] {
  return [0, 1, 2].map((axis) => {
    const values = soup.flatMap((triangle) => [triangle[axis]!, triangle[axis + 3]!, triangle[axis + 6]!]);
    return [Math.min(...values), Math.max(...values)].map((value) => Math.fround(value) + 0);
  });
}
