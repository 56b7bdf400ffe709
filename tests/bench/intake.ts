import { createReadStream, mkdtempSync, rmSync, statSync, writeFileSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { mergeVertices, PLYLoader, STLLoader } from "three-stdlib";
import { UNWATCHED } from "#core/job-control";
import { borderLoops } from "#core/mesh/border";
import { setFragmentsAside } from "#core/mesh/components";
import { oppositeHalfEdges } from "#core/mesh/edges";
import { orient } from "#core/mesh/orientation";
import { type TriangleMesh, triangleCount, vertexCount } from "#core/mesh/triangle-mesh";
import { weld } from "#core/mesh/weld";
import type { ByteSource } from "#core/scan/byte-source";
import { takeIn } from "#core/scan/intake";
import { readScan } from "#core/scan/read-scan";
import { Sha256 } from "#core/scan/sha256";
import { writePly } from "#core/scan/write-ply";
import { writeStl } from "#core/scan/write-stl";
import type { BenchRow } from "./bench-row";
import { asciiStl, hills } from "./invented-scans";
import { medianTimeAwaited } from "./median";
import { referenceTime } from "./references";

/** Pieces as a disk gives them. */
const CHUNK_BYTES = 1024 * 1024;

/** A file on the disk, streamed; the others read it from there, too. */
const fileSource = (name: string): ByteSource => ({
  name,
  size: statSync(name).size,
  chunks: () => createReadStream(name, { highWaterMark: CHUNK_BYTES }),
});

async function readAndWeld(name: string): Promise<TriangleMesh> {
  const content = await readScan(fileSource(name), {}, UNWATCHED);
  return weld(content.geometry, 1, UNWATCHED).mesh;
}

/** Also wound one way, components and border found: what VTK's filters do in the reference. */
async function readAndCheck(name: string): Promise<TriangleMesh> {
  const { mesh } = orient(await readAndWeld(name), UNWATCHED);
  const { main } = setFragmentsAside(mesh, UNWATCHED);
  borderLoops(main, oppositeHalfEdges(main, UNWATCHED), UNWATCHED);
  return main;
}

const arrayBuffer = async (name: string): Promise<ArrayBuffer> => {
  const { buffer, byteOffset, byteLength } = await readFile(name);
  return buffer.slice(byteOffset, byteOffset + byteLength) as ArrayBuffer;
};
const stlByThree = (name: string) => async () => mergeVertices(new STLLoader().parse(await arrayBuffer(name)));
const plyByThree = (name: string) => async () => mergeVertices(new PLYLoader().parse(await arrayBuffer(name)));

/** The work, ours and theirs, on one file, each reading it from the disk. */
interface Race {
  readonly task: string;
  readonly file: string;
  readonly ours: (name: string) => Promise<TriangleMesh>;
  readonly three?: () => Promise<unknown>;
  /** Task of the reference script, and what to call it. */
  readonly reference?: readonly [task: string, name: string];
}

async function rowsOf({ task, file, ours, three, reference }: Race): Promise<BenchRow[]> {
  const mesh = await ours(file);
  const triangles = triangleCount(mesh);
  const milliseconds = await medianTimeAwaited(() => ours(file));
  const row = {
    task: `${task}, ${triangles} triangles`,
    milliseconds,
    perSecond: { count: triangles / (milliseconds / 1000), unit: "triangles" },
  };
  const rows: BenchRow[] = [];
  if (three !== undefined) {
    const against = { name: "three-stdlib and its vertex merge", milliseconds: await medianTimeAwaited(three) };
    rows.push({ ...row, against });
  }
  const theirs = reference === undefined ? null : referenceTime(reference[0], file);
  if (theirs !== null) {
    const same = theirs.vertices === vertexCount(mesh) && theirs.triangles === triangles;
    const name = `${reference![1]}${same ? "" : `, which finds ${theirs.vertices} vertices, ${theirs.triangles} triangles`}`;
    rows.push({ ...row, against: { name, milliseconds: theirs.milliseconds } });
  }
  return rows.length > 0 ? rows : [row];
}

/** Reading and welding against other readers with their vertex merge, and the whole intake with its parts. */
export async function benchIntake(): Promise<BenchRow[]> {
  const folder = mkdtempSync(join(tmpdir(), "raphe-bench-"));
  try {
    const large = hills(500_000);
    const stl = join(folder, "large.stl");
    const ply = join(folder, "large.ply");
    const text = join(folder, "small.stl");
    const bytes = writeStl(large, "invented");
    writeFileSync(stl, bytes);
    writeFileSync(ply, writePly(large, "binary-little-endian", ["invented"]));
    writeFileSync(text, asciiStl(hills(200_000)));
    const races: Race[] = [
      {
        task: "read and weld binary STL",
        file: stl,
        ours: readAndWeld,
        three: stlByThree(stl),
        reference: ["vtk-stl", "VTK's reader and clean"],
      },
      {
        task: "read, weld and check binary STL",
        file: stl,
        ours: readAndCheck,
        reference: ["vtk-check", "VTK's reader, clean, normals, connectivity and feature edges"],
      },
      {
        task: "read and weld binary PLY",
        file: ply,
        ours: readAndWeld,
        three: plyByThree(ply),
        reference: ["open3d-ply", "Open3D's reader and removals"],
      },
      {
        task: "read and weld binary PLY",
        file: ply,
        ours: readAndWeld,
        reference: ["vtk-ply", "VTK's reader and clean"],
      },
      {
        task: "read and weld text STL",
        file: text,
        ours: readAndWeld,
        three: stlByThree(text),
        reference: ["vtk-stl", "VTK's reader and clean"],
      },
    ];
    const rows: BenchRow[] = [];
    for (const race of races) rows.push(...(await rowsOf(race)));
    const whole = await medianTimeAwaited(() => takeIn(fileSource(stl), {}, UNWATCHED));
    const hash = await medianTimeAwaited(() => {
      const sha256 = new Sha256();
      sha256.update(bytes);
      sha256.hex();
    });
    return [
      ...rows,
      {
        task: "whole intake of the binary STL, checksum and report included",
        milliseconds: whole,
        perSecond: { count: large.triangles.length / 3 / (whole / 1000), unit: "triangles" },
      },
      {
        task: `SHA-256 of ${(bytes.length / 1e6).toFixed(0)} MB`,
        milliseconds: hash,
        perSecond: { count: bytes.length / (hash / 1000), unit: "bytes" },
      },
    ];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
