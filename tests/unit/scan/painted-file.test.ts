import { createHash } from "node:crypto";
import { describe, expect, test } from "vitest";
import { UNWATCHED } from "#core/job-control";
import { bitsFromMask, maskFromBits } from "#core/mesh/painted-triangles";
import type { TriangleMesh } from "#core/mesh/triangle-mesh";
import { bytesSource } from "#core/scan/byte-source";
import { takeIn } from "#core/scan/intake";
import { readPainted } from "#core/scan/painted-file";
import { binaryStl, type Soup, text } from "./scan-files";

describe("the file of a painted area", () => {
  const bits = Uint8Array.of(0b10100001, 0b00000101);
  const sha256 = createHash("sha256").update(bits).digest("hex");

  test("is taken with its hash", () => {
    expect(readPainted(bits, 11)).toEqual({ sha256, triangles: 11, bits });
    expect(readPainted(bits, 11, { sha256 }).sha256).toBe(sha256);
  });

  test.each([
    ["of another size", () => readPainted(bits, 17), "malformed"],
    ["with bits behind the last triangle", () => readPainted(bits, 10), "malformed"],
    ["whose hash is another", () => readPainted(bits, 11, { sha256: "0".repeat(64) }), "malformed"],
    ["for a scan of more than 20 million triangles", () => readPainted(bits, 20_000_001), "too-large"],
  ])("is refused %s", (_what, attempt, code) => {
    expect(attempt).toThrowError(expect.objectContaining({ code }));
  });
});

/** A curved patch of squares, each of two triangles, with what scanners leave in files besides. */
const SIDE = 6;
const corner = (c: number, r: number, lift = 0) => [6 * c, 6 * r, 30 - 0.2 * (c * c + r * r) + lift];
const squares: number[][][] = [];
for (let r = 0; r < SIDE; r++) {
  for (let c = 0; c < SIDE; c++) squares.push([corner(c, r), corner(c + 1, r), corner(c + 1, r + 1), corner(c, r + 1)]);
}
const halves = ([a, b, c, d]: number[][]): number[][] => [
  [...a!, ...b!, ...c!],
  [...a!, ...c!, ...d!],
];
/** A speck that floats beside the surface. */
const SPECK = [
  [90, 90, 0],
  [90.2, 90, 0],
  [90.2, 90.2, 0],
  [90, 90.2, 0],
];
const NO_AREA = [...corner(0, 0), ...corner(0, 0), ...corner(1, 0)];
const again = (t: readonly number[]) => [...t.slice(3), ...t.slice(0, 3)];
const turned = (t: readonly number[]) => [...t.slice(0, 3), ...t.slice(6), ...t.slice(3, 6)];

/** Corners of each triangle of the file, however it is wound. */
const corners = (triangle: readonly number[]): string =>
  [0, 3, 6]
    .map((at) =>
      triangle
        .slice(at, at + 3)
        .map((value) => Math.fround(value).toFixed(4))
        .join(" "),
    )
    .sort()
    .join(" | ");

const soupOf = ({ positions, triangles }: TriangleMesh): number[][] =>
  Array.from({ length: triangles.length / 3 }, (_, t) =>
    [0, 1, 2].flatMap((i) => Array.from(positions.subarray(3 * triangles[3 * t + i]!, 3 * triangles[3 * t + i]! + 3))),
  );

/** A file as soup: degenerate, repeated, reversed and floating triangles stand between the others. */
function untidy(): Soup {
  const soup = squares.flatMap(halves);
  return [
    ...halves(SPECK),
    NO_AREA,
    ...soup.slice(0, 20).map((t, i) => (i % 3 === 0 ? turned(t) : t)),
    again(soup[4]!),
    turned(soup[7]!),
    ...soup.slice(20),
    NO_AREA,
  ];
}

function files(): Record<string, { bytes: Uint8Array; soup: Soup }> {
  const stl = untidy();
  // Polygons keep their place: each is one or more triangles, one behind the other.
  const polygons = [SPECK, ...squares.slice(0, 9), squares[2]!, ...squares.slice(9)];
  const points = polygons.flat();
  const faces = polygons.map((_, i) => [4 * i, 4 * i + 1, 4 * i + 2, 4 * i + 3]);
  const ply = [
    "ply",
    "format ascii 1.0",
    `element vertex ${points.length}`,
    ...["x", "y", "z"].map((axis) => `property float ${axis}`),
    `element face ${faces.length}`,
    "property list uchar int vertex_indices",
    "end_header",
    ...points.map((p) => p.join(" ")),
    ...faces.map((face) => `4 ${face.join(" ")}`),
    "",
  ].join("\n");
  const obj = [
    ...points.map((p) => `v ${p.join(" ")}`),
    ...faces.map((face) => `f ${face.map((v) => v + 1).join(" ")}`),
    "",
  ].join("\n");
  const soup = polygons.flatMap(halves);
  return {
    STL: { bytes: binaryStl(stl), soup: stl },
    PLY: { bytes: text(ply), soup },
    OBJ: { bytes: text(obj), soup },
  };
}

describe.each(Object.entries(files()))("painted triangles of an untidy %s file", (name, { bytes, soup }) => {
  test("are the same surface in the file and on the mesh, in either direction", async () => {
    const source = bytesSource(`scan.${name.toLowerCase()}`, bytes);
    const { mesh, fragments, report } = await takeIn(source, {}, UNWATCHED);
    expect(report.triangles.inFile).toBe(soup.length);
    expect(fragments).not.toBeNull();
    expect(report.triangles.duplicate).toBeGreaterThan(0);
    const onMesh = soupOf(mesh);
    // Each triangle of the mesh is the one of the file that its number says.
    for (const [t, fileTriangle] of mesh.fileTriangles.entries()) {
      expect(corners(onMesh[t]!)).toBe(corners(soup[fileTriangle]!));
    }
    // A third of the file, painted in the file's numbers, is the same third on the mesh, and comes back.
    const painted = soup.map((triangle) => triangle[0]! < 12);
    const bits = new Uint8Array(Math.ceil(soup.length / 8));
    for (const [t, one] of painted.entries()) if (one) bits[t >> 3]! |= 1 << (t & 7);
    const mask = maskFromBits(mesh, bits);
    expect(mask.includes(1) && mask.includes(0)).toBe(true);
    for (const [t, one] of mask.entries()) expect(one === 1).toBe(painted[mesh.fileTriangles[t]!]);
    const back = bitsFromMask(mesh, mask, soup.length);
    expect(maskFromBits(mesh, back)).toEqual(mask);
    expect(readPainted(back, soup.length).bits).toBe(back);
    const setBits = (list: Uint8Array) => soup.flatMap((_, t) => (((list[t >> 3]! >> (t & 7)) & 1) === 1 ? [t] : []));
    const kept = new Set(mesh.fileTriangles);
    expect(setBits(back)).toEqual(setBits(bits).filter((t) => kept.has(t)));
  });
});
