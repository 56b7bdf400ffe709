import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { UNWATCHED } from "#core/job-control";
import { weld } from "#core/mesh/weld";
import { type PlyEncoding, writePly } from "#core/scan/write-ply";
import { writeStl } from "#core/scan/write-stl";
import { asciiStl, read, soupOf } from "./scan-files";

/** Any single-precision coordinate that a scan can have; few of them are round, some are very small. */
const coordinate = fc.float({ noNaN: true, min: Math.fround(-9e8), max: Math.fround(9e8) }).map((v) => v + 0);

/** Any mesh of up to 12 vertices and 20 triangles, sound or not. */
const mesh = fc
  .array(fc.tuple(coordinate, coordinate, coordinate), { minLength: 1, maxLength: 12 })
  .chain((vertices) => {
    const corner = fc.nat(vertices.length - 1);
    return fc.record({
      positions: fc.constant(Float64Array.from(vertices.flat())),
      triangles: fc
        .array(fc.tuple(corner, corner, corner), { minLength: 1, maxLength: 20 })
        .map((triangles) => Uint32Array.from(triangles.flat())),
      colours: fc.option(
        fc.uint8Array({ minLength: 3 * vertices.length, maxLength: 3 * vertices.length }).map((c) => new Uint8Array(c)),
      ),
    });
  });

const soup = ({ positions, triangles }: { positions: Float64Array; triangles: Uint32Array }): number[][] => {
  const list: number[][] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    list.push(
      [0, 1, 2].flatMap((i) => Array.from(positions.subarray(3 * triangles[t + i]!, 3 * triangles[t + i]! + 3))),
    );
  }
  return list;
};

/** Pieces of one byte, of a few, of more than the file: their borders fall everywhere. */
const chunkSize = fc.constantFrom(1, 7, 65_536);

describe("what is written and read again", () => {
  it("is the same, triangle by triangle, as binary STL", async () => {
    await fc.assert(
      fc.asyncProperty(mesh, chunkSize, async (content, size) => {
        expect(soupOf(await read(writeStl(content, "invented"), size))).toEqual(soup(content));
      }),
      { seed: 20_261, numRuns: 200 },
    );
  });

  // There is no writer for these two: the tests write them, with all digits that a double has.
  it("is the same, triangle by triangle, as text STL", async () => {
    await fc.assert(
      fc.asyncProperty(mesh, chunkSize, async (content, size) => {
        expect(soupOf(await read(asciiStl(soup(content)), size))).toEqual(soup(content));
      }),
      { seed: 20_264, numRuns: 200 },
    );
  });

  it("is the same, vertex by vertex, as OBJ", async () => {
    await fc.assert(
      fc.asyncProperty(mesh, chunkSize, fc.boolean(), async ({ positions, triangles }, size, backwards) => {
        const vertices = positions.length / 3;
        const lines: string[] = [];
        for (let v = 0; v < positions.length; v += 3) lines.push(`v ${positions.subarray(v, v + 3).join(" ")}`);
        for (let t = 0; t < triangles.length; t += 3) {
          const corners = Array.from(triangles.subarray(t, t + 3), (v) => (backwards ? v - vertices : v + 1));
          lines.push(`f ${corners.join(" ")}`);
        }
        const { geometry } = await read(`${lines.join("\n")}\n`, size);
        expect(Array.from(geometry.vertices)).toEqual(Array.from(positions));
        expect(geometry.triangles).toEqual(triangles);
      }),
      { seed: 20_266, numRuns: 200 },
    );
  });

  it.each(["ascii", "binary-little-endian", "binary-big-endian"] satisfies PlyEncoding[])(
    "is the same, vertex by vertex, as PLY in %s",
    async (encoding) => {
      await fc.assert(
        fc.asyncProperty(mesh, chunkSize, async (content, size) => {
          const { geometry, notes } = await read(writePly(content, encoding, ["invented", "for tests"]), size);
          expect(Array.from(geometry.vertices)).toEqual(Array.from(content.positions));
          expect(geometry.triangles).toEqual(content.triangles);
          expect(geometry.colours).toEqual(content.colours);
          expect(notes).toEqual(["invented", "for tests"]);
        }),
        { seed: 20_262, numRuns: 200 },
      );
    },
  );

  it("keeps its triangles in place and order when it is welded", async () => {
    await fc.assert(
      fc.asyncProperty(mesh, async (content) => {
        const { geometry } = await read(writeStl(content, ""));
        const welded = weld(geometry, 1, UNWATCHED);
        const inFile = soup(content);
        const kept = soup(welded.mesh);
        welded.mesh.fileTriangles.forEach((fileTriangle, t) => {
          expect(kept[t]).toEqual(inFile[fileTriangle]);
        });
        expect(kept.length + welded.degenerate + welded.duplicate).toBe(inFile.length);
        // No two vertices at one place.
        const places = new Set<string>();
        for (let v = 0; v < welded.mesh.positions.length; v += 3) {
          places.add(welded.mesh.positions.subarray(v, v + 3).join());
        }
        expect(places.size).toBe(welded.mesh.positions.length / 3);
      }),
      { seed: 20_263, numRuns: 200 },
    );
  });
});
