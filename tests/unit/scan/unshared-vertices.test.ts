import { describe, expect, it } from "vitest";
import { UNWATCHED } from "#core/job-control";
import { bytesSource } from "#core/scan/byte-source";
import { type Intake, takeIn } from "#core/scan/intake";
import { joined, packed, text } from "./scan-files";

// A file may give each face vertices of its own. Whatever shares them or not, and whichever stands first, the surface is
// the same: as the same faces with shared vertices.

/** A bent sheet of squares; every third is an arrowhead, which a fan about its first corner would not fill. */
const N = 60;
const point = (i: number, j: number): number[] => [i + j / 7, j - i / 11, (i * j) / 90 + i / 3];
const FACES: number[][][] = [];
for (let i = 0; i < N; i++) {
  for (let j = 0; j < N; j++) {
    const square = [point(i, j), point(i + 1, j), point(i + 1, j + 1), point(i, j + 1)];
    if ((i + j) % 3 === 0) {
      // Cut along a dent: an arrowhead and the triangle that fills it.
      const dent = [0, 1, 2].map((k) => 0.7 * square[0]![k]! + 0.3 * square[2]![k]!);
      FACES.push(
        [square[1]!, square[2]!, square[3]!, dent],
        [square[3]!, square[0]!, dent],
        [square[0]!, square[1]!, dent],
      );
    } else FACES.push(square);
  }
}

/** A PLY of these faces. */
function ply({ shared, facesFirst, binary }: { shared: boolean; facesFirst: boolean; binary: boolean }): Uint8Array {
  const vertices: number[][] = [];
  const known = new Map<string, number>();
  const faces = FACES.map((face) =>
    face.map((corner) => {
      const name = String(corner);
      const number = shared ? known.get(name) : undefined;
      if (number !== undefined) return number;
      known.set(name, vertices.length);
      return vertices.push(corner) - 1;
    }),
  );
  const head = [
    [`element vertex ${vertices.length}`, "property double x", "property double y", "property double z"],
    [`element face ${faces.length}`, "property list uchar int vertex_indices"],
  ];
  const body = binary
    ? [
        packed(
          vertices.map((corner) => ["double", ...corner] as const),
          true,
        ),
        joined(
          ...faces.map((face) =>
            packed(
              [
                ["uchar", face.length],
                ["int", ...face],
              ],
              true,
            ),
          ),
        ),
      ]
    : [vertices, faces.map((face) => [face.length, ...face])].map((rows) =>
        text(`${rows.map((row) => row.join(" ")).join("\n")}\n`),
      );
  if (facesFirst) for (const parts of [head, body]) parts.reverse();
  const format = `format ${binary ? "binary_little_endian" : "ascii"} 1.0`;
  return joined(text(["ply", format, ...head.flat(), "end_header", ""].join("\n")), ...body);
}

function obj(): Uint8Array {
  const lines: string[] = [];
  let first = 1;
  for (const face of FACES) {
    lines.push(...face.map((corner) => `v ${corner.join(" ")}`), `f ${face.map((_, i) => first + i).join(" ")}`);
    first += face.length;
  }
  return text(`${lines.join("\n")}\n`);
}

const opened = (bytes: Uint8Array, piece: number): Promise<Intake> =>
  takeIn(bytesSource("scan", bytes, piece), {}, UNWATCHED);

describe("faces with vertices of their own make the same mesh as faces that share them", () => {
  const cases: [string, () => Uint8Array][] = [false, true].flatMap((binary) =>
    [false, true].map((facesFirst): [string, () => Uint8Array] => [
      `a ${binary ? "binary" : "text"} PLY with ${facesFirst ? "faces" : "vertices"} first`,
      () => ply({ shared: false, facesFirst, binary }),
    ]),
  );
  it.each([...cases, ["an OBJ", obj] as [string, () => Uint8Array]])("%s", async (_, bytes) => {
    const wanted = await opened(ply({ shared: true, facesFirst: false, binary: true }), 65_536);
    expect(wanted.report.triangles.used).toBeGreaterThan(2 * N * N);
    for (const piece of [37, 65_536]) {
      const { mesh, report } = await opened(bytes(), piece);
      expect(mesh).toEqual(wanted.mesh);
      expect(report.vertices.inFile).toBe(FACES.flat().length);
      expect(report.vertices.used).toBe(wanted.report.vertices.used);
    }
  });
});
