import { describe, expect, it } from "vitest";
import { type PlyEncoding, writePly } from "#core/scan/write-ply";
import { writeStl } from "#core/scan/write-stl";
import { type FileKind, READERS } from "./independent-readers";
import { asciiStl, read, soupOf, text } from "./scan-files";

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

/** Every independent reader of a kind finds our triangles, in our order. */
async function expectAgreement(kind: FileKind, bytes: Uint8Array): Promise<void> {
  const ours = soupOf(await read(bytes));
  expect(ours).toHaveLength(1800);
  for (const [name, reader] of Object.entries(READERS[kind])) expect(await reader(bytes), name).toEqual(ours);
}

describe("independent readers find the same triangles", () => {
  const mesh = sheet();

  it("in a binary STL", () => expectAgreement("stl", writeStl(mesh, "invented")));

  it("in a text STL", async () => {
    const soup = soupOf(await read(writeStl(mesh, "invented")));
    await expectAgreement("stl", text(asciiStl(soup)));
  });

  it.each(["ascii", "binary-little-endian", "binary-big-endian"] satisfies PlyEncoding[])(
    "in a PLY in %s",
    (encoding) => expectAgreement("ply", writePly(mesh, encoding, [])),
  );
});
