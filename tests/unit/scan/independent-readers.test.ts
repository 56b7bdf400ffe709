import { PLYLoader, STLLoader } from "three-stdlib";
import { describe, expect, it } from "vitest";
import { type PlyEncoding, writePly } from "#core/scan/write-ply";
import { writeStl } from "#core/scan/write-stl";
import { asciiStl, read, soupOf } from "./scan-files";

/** A wavy sheet of 2 × 30 × 30 triangles with coordinates that are not round. */
function sheet() {
  const n = 31;
  const positions = new Float64Array(3 * n * n);
  const triangles: number[] = [];
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      const z = 5 * Math.sin(i / 3) * Math.cos(j / 4) + 3;
      positions.set([i * 1.7, j * 1.3, z].map(Math.fround), 3 * (i * n + j));
      if (i === n - 1 || j === n - 1) continue;
      const a = i * n + j;
      triangles.push(a, a + n, a + 1, a + 1, a + n, a + n + 1);
    }
  }
  return { positions, triangles: Uint32Array.from(triangles) };
}

const buffer = (bytes: Uint8Array): ArrayBuffer => bytes.slice().buffer;

/** Triangles of a three geometry, indexed or not. */
function soupOfThree(geometry: ReturnType<STLLoader["parse"]>): number[][] {
  const flat = geometry.index === null ? geometry : geometry.toNonIndexed();
  const values = Array.from(flat.getAttribute("position").array);
  return Array.from({ length: values.length / 9 }, (_, t) => values.slice(9 * t, 9 * t + 9));
}

describe("an independent reader (three-stdlib) finds the same triangles", () => {
  const mesh = sheet();

  it("in a binary STL", async () => {
    const bytes = writeStl(mesh, "invented");
    expect(soupOf(await read(bytes))).toEqual(soupOfThree(new STLLoader().parse(buffer(bytes))));
  });

  it("in a text STL", async () => {
    const content = asciiStl(soupOf(await read(writeStl(mesh, "invented"))));
    expect(soupOf(await read(content))).toEqual(soupOfThree(new STLLoader().parse(content)));
  });

  it.each(["ascii", "binary-little-endian", "binary-big-endian"] satisfies PlyEncoding[])(
    "in a PLY in %s",
    async (encoding) => {
      const bytes = writePly(mesh, encoding, []);
      expect(soupOf(await read(bytes))).toEqual(soupOfThree(new PLYLoader().parse(buffer(bytes))));
    },
  );
});
