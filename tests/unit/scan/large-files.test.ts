import { createReadStream } from "node:fs";
import { mkdtemp, rm, stat, truncate, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { UNWATCHED } from "#core/job-control";
import { bytesSource } from "#core/scan/byte-source";
import { readScan } from "#core/scan/read-scan";
import { writePly } from "#core/scan/write-ply";
import { writeStl } from "#core/scan/write-stl";
import { asciiStl, text } from "./scan-files";

let folder = "";
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "raphe-large-"));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

const GIB = 1024 ** 3;

/** A sparse file that begins with these bytes: it takes no room on the disk. Tells how much of it is read. */
async function sparse(head: Uint8Array, size: number) {
  const name = join(folder, "large");
  await writeFile(name, head);
  await truncate(name, size);
  expect((await stat(name)).size).toBe(size);
  let bytesRead = 0;
  return {
    source: {
      name: "large.stl",
      size,
      async *chunks() {
        for await (const chunk of createReadStream(name, { highWaterMark: 1024 * 1024 })) {
          bytesRead += chunk.length;
          yield chunk as Uint8Array;
        }
      },
    },
    bytesRead: () => bytesRead,
  };
}

/** The head of a binary STL that counts so many triangles. */
function stlHead(triangles: number): Uint8Array {
  const bytes = new Uint8Array(84);
  new DataView(bytes.buffer).setUint32(80, triangles, true);
  return bytes;
}

const plyHead = (vertices: number, faces: number): Uint8Array =>
  text(
    "ply\nformat binary_little_endian 1.0\n" +
      `element vertex ${vertices}\nproperty float x\nproperty float y\nproperty float z\n` +
      `element face ${faces}\nproperty list uchar int vertex_indices\nend_header\n`,
  );

describe("a very large file is refused at once, with the limit that it meets:", () => {
  it.each([
    ["of more than 4 GiB", stlHead(80_000_000), 4 * GIB + 1, "4,294,967,297 bytes; at most 4 GiB are read", 0],
    ["a binary STL of 3 GB", stlHead(60_000_000), 84 + 50 * 60_000_000, "60,000,000 triangles; at most 20,000,000", 1],
    ["one triangle too many", stlHead(20_000_001), 84 + 50 * 20_000_001, "20,000,001 triangles; at most 20,000,000", 1],
    ["a count of zero and 3 GB", joinedStl(0), 84 + 50 * 60_000_000, "60,000,000 triangles; at most 20,000,000", 1],
    ["a PLY of too many faces", plyHead(100, 20_000_001), 3 * GIB, "20,000,001 faces; at most 20,000,000 are read", 1],
    ["of too many vertices", plyHead(60_000_001, 100), 3 * GIB, "60,000,001 vertices; at most 60,000,000 are read", 1],
  ])("%s", async (_, head, size, problem, megabytes) => {
    const { source, bytesRead } = await sparse(head, size);
    await expect(readScan(source, {}, UNWATCHED)).rejects.toMatchObject({
      code: "too-large",
      subject: "large.stl",
      problem: expect.stringContaining(problem),
    });
    expect(bytesRead()).toBeLessThanOrEqual(megabytes * 1024 * 1024);
  });

  it("3 GB of nothing are no scan", async () => {
    const { source, bytesRead } = await sparse(new Uint8Array(0), 3 * GIB);
    await expect(readScan(source, {}, UNWATCHED)).rejects.toMatchObject({ code: "unknown-format" });
    expect(bytesRead()).toBeLessThanOrEqual(1024 * 1024);
  });
});

/** A binary STL's head that counts wrongly, and its first triangle. */
function joinedStl(count: number): Uint8Array {
  const bytes = writeStl(
    { positions: Float64Array.of(0, 0, 0, 40, 0, 0, 0, 40, 0), triangles: Uint32Array.of(0, 1, 2) },
    "",
  );
  new DataView(bytes.buffer).setUint32(80, count, true);
  return bytes;
}

describe("reading looks at the cancel flag at least every 10,000 triangles of", () => {
  const n = 200;
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let i = 0; i <= n; i++) {
    for (let j = 0; j <= n; j++) {
      positions.push(i, j, (i * j) % 7);
      if (i < n && j < n) triangles.push(i * (n + 1) + j, (i + 1) * (n + 1) + j, i * (n + 1) + j + 1);
    }
  }
  const mesh = { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
  const soup = Array.from({ length: n * n }, (_, t) =>
    triangles.slice(3 * t, 3 * t + 3).flatMap((v) => positions.slice(3 * v, 3 * v + 3)),
  );
  const obj =
    soup.map((t) => [0, 3, 6].map((i) => `v ${t.slice(i, i + 3).join(" ")}\n`).join("")).join("") +
    soup.map((_, t) => `f ${3 * t + 1} ${3 * t + 2} ${3 * t + 3}\n`).join("");

  it.each([
    ["a binary STL", writeStl(mesh, "")],
    ["a text STL", text(asciiStl(soup))],
    ["a binary PLY", writePly(mesh, "binary-big-endian", [])],
    ["a text PLY", writePly(mesh, "ascii", [])],
    ["an OBJ", text(obj)],
  ])("%s, whatever the pieces in which it comes", async (_, bytes) => {
    for (const size of [bytes.length, 65_536]) {
      let looks = 0;
      const job = { progress: () => {}, cancelled: () => ++looks < 0 };
      const { geometry } = await readScan(bytesSource("scan", bytes, size), {}, job);
      expect(geometry.triangles.length).toBe(3 * n * n);
      expect(looks).toBeGreaterThanOrEqual((n * n) / 10_000);
    }
  });
});
