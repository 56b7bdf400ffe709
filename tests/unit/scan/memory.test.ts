import { describe, expect, it } from "vitest";
import { writePly } from "#core/scan/write-ply";
import { writeStl } from "#core/scan/write-stl";
import { peakMemoryOf } from "./peak-memory";
import { asciiStl, joined, text } from "./scan-files";

/** A hilly sheet of 2 · 130 · 130 triangles with coordinates that are not round. */
function hills() {
  const n = 130;
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let i = 0; i <= n; i++) {
    for (let j = 0; j <= n; j++) {
      positions.push(i * 0.47, j * 0.43, 5 * Math.sin(i / 11) * Math.cos(j / 13));
      if (i === n || j === n) continue;
      const a = i * (n + 1) + j;
      triangles.push(a, a + n + 1, a + 1, a + 1, a + n + 1, a + n + 2);
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

const SHEET = hills();
const COUNT = SHEET.triangles.length / 3;
const corners = (t: number): number[] =>
  Array.from(SHEET.triangles.subarray(3 * t, 3 * t + 3), (v) => [...SHEET.positions.subarray(3 * v, 3 * v + 3)]).flat();
const SOUP = Array.from({ length: COUNT }, (_, t) => corners(t));

/** The same triangles, each with three vertices of its own. */
const UNSHARED = {
  positions: Float64Array.from(SOUP.flat()),
  triangles: Uint32Array.from({ length: 3 * COUNT }, (_, i) => i),
};
/** Every seventh triangle is turned over, and a speck floats beside the sheet. */
const TURNED = SOUP.map((t, i) => (i % 7 === 0 ? [...t.slice(0, 3), ...t.slice(6), ...t.slice(3, 6)] : t));
const WITH_SPECK = [...TURNED, [90, 0, 0, 91, 0, 0, 90, 1, 0]].flat();

/** A binary PLY in double precision whose faces share no vertices, each with `corners` of its own. */
function unsharedPly(
  corners: readonly (readonly number[])[],
  { coloured = false, facesFirst = false }: { coloured?: boolean; facesFirst?: boolean } = {},
): Uint8Array {
  const size = corners[0]!.length / 3;
  const colour = coloured ? ["property uchar red", "property uchar green", "property uchar blue"] : [];
  const vertex = [`element vertex ${size * corners.length}`, ..."xyz"].map((line, i) =>
    i === 0 ? line : `property double ${line}`,
  );
  const face = [`element face ${corners.length}`, "property list uchar int vertex_indices"];
  const header = ["ply", "format binary_little_endian 1.0"].concat(
    facesFirst ? [...face, ...vertex, ...colour] : [...vertex, ...colour, ...face],
    ["end_header", ""],
  );
  const bytesOfVertex = coloured ? 27 : 24;
  const vertices = new DataView(new ArrayBuffer(bytesOfVertex * size * corners.length));
  const faces = new DataView(new ArrayBuffer((1 + 4 * size) * corners.length));
  corners.flat().forEach((value, i) => {
    vertices.setFloat64(bytesOfVertex * Math.floor(i / 3) + 8 * (i % 3), value, true);
  });
  for (let f = 0; f < corners.length; f++) {
    faces.setUint8((1 + 4 * size) * f, size);
    for (let i = 0; i < size; i++) faces.setUint32((1 + 4 * size) * f + 1 + 4 * i, size * f + i, true);
  }
  const body = [new Uint8Array(vertices.buffer), new Uint8Array(faces.buffer)];
  return joined(text(header.join("\n")), ...(facesFirst ? body.reverse() : body));
}

/** The sheet's squares: each with its two triangles' outer corners. */
const SQUARES = Array.from({ length: COUNT / 2 }, (_, q) => {
  const [first, second] = [SOUP[2 * q]!, SOUP[2 * q + 1]!];
  return [...first.slice(0, 6), ...second.slice(6), ...first.slice(6)];
});

function unsharedObj(): Uint8Array {
  const lines = SOUP.flatMap((p, t) => [
    ...[0, 3, 6].map((k) => `v ${p[k]} ${p[k + 1]} ${p[k + 2]}`),
    `f ${3 * t + 1} ${3 * t + 2} ${3 * t + 3}`,
  ]);
  return text(`${lines.join("\n")}\n`);
}

function obj(): Uint8Array {
  const lines: string[] = [];
  const { positions: p, triangles } = SHEET;
  for (let v = 0; v < p.length; v += 3) lines.push(`v ${p[v]} ${p[v + 1]} ${p[v + 2]}`, "vn 0 0 1");
  for (let t = 0; t < triangles.length; t += 3) {
    lines.push(`f ${Array.from(triangles.subarray(t, t + 3), (v) => `${v + 1}//${v + 1}`).join(" ")}`);
  }
  return text(`${lines.join("\n")}\n`);
}

/** Buffers of fixed size, and the piece of the file that is being looked at. */
const FIXED = 600_000;

describe("taking a scan in holds at most three times the final mesh, and one piece of the file,", () => {
  it.each([
    ["a binary STL", () => writeStl(SHEET, "")],
    [
      "a binary STL with turned triangles and a speck",
      () =>
        writeStl(
          {
            positions: Float64Array.from(WITH_SPECK),
            triangles: Uint32Array.from({ length: WITH_SPECK.length / 3 }, (_, i) => i),
          },
          "",
        ),
    ],
    ["a text STL", () => text(asciiStl(SOUP))],
    ["a binary PLY", () => writePly(SHEET, "binary-little-endian", [])],
    [
      "a binary PLY with colours",
      () => writePly({ ...SHEET, colours: new Uint8Array(SHEET.positions.length) }, "binary-big-endian", []),
    ],
    ["a binary PLY whose triangles share no vertices", () => writePly(UNSHARED, "binary-little-endian", [])],
    [
      "a text PLY in double precision",
      () =>
        text(new TextDecoder().decode(writePly(SHEET, "ascii", [])).replaceAll("property float", "property double")),
    ],
    ["an OBJ", obj],
    ["a PLY in double precision whose triangles share no vertices", () => unsharedPly(SOUP)],
    ["such a PLY with colours", () => unsharedPly(SOUP, { coloured: true })],
    ["such a PLY with its faces before its vertices", () => unsharedPly(SOUP, { facesFirst: true })],
    ["a PLY in double precision whose squares share no vertices", () => unsharedPly(SQUARES)],
    ["an OBJ whose triangles share no vertices", unsharedObj],
  ])("for %s", async (_, bytes) => {
    const { mesh, peak, during } = await peakMemoryOf(bytes());
    // The mesh itself is in it, or nothing was measured.
    expect(peak).toBeGreaterThan(mesh);
    expect(peak, `${(peak / mesh).toFixed(2)} times the mesh, while ${during}`).toBeLessThan(3 * mesh + FIXED);
  });
});
